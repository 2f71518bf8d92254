/**
 * Questions to a fit about its rows and its levels: who carries the answer, what is left over, how much is
 * explained.
 */

export { influence, type LevelInfluence } from './influence.ts';
export { type IntraclassCorrelation, intraclassCorrelation } from './intraclass.ts';
export { type ExplainedVariance, explainedVariance } from './r-squared.ts';
export { type RowResidual, residualDiagnostics } from './residuals.ts';
