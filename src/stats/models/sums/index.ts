export { unknownColumns } from '../design/model-data.ts';
export { fitGroups, type OutcomeSums } from './fit-groups.ts';
export { fitSpread, type SpreadOfCells } from './fit-spread.ts';
export { fitSums } from './fit-sums.ts';
export { type Exponents, planSums, type SumsOutcome, type SumsPlan } from './plan-sums.ts';
export { reasonsToLeaveOut, type SumsColumn, sumsColumns } from './sums-columns.ts';
