/** How strong an unmeasured cause would have to be to explain an association away. */

export { eValue, type StandardisedEValue, standardisedEValue } from './e-value.ts';
export {
  asStrongAs,
  partialR2,
  robustnessOfInterval,
  robustnessValue,
  type UnmeasuredCause,
  withUnmeasured,
} from './robustness-value.ts';
export { type IndirectParts, indirectParts, indirectUnder } from './shared-error.ts';
