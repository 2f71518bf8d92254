/** Reports set against what they came from, and packed to be handed on. */

export { compareDocuments, type Difference } from './compare.ts';
