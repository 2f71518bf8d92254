/** P-values of several tests at once. */

export { benjaminiHochberg } from './benjamini-hochberg.ts';
export { holm } from './holm.ts';
