export { fitSums } from './fit-sums.ts';
export { type Exponents, planSums, type SumsOutcome, type SumsPlan } from './plan-sums.ts';
export { type SumsColumn, sumsColumns } from './sums-columns.ts';
