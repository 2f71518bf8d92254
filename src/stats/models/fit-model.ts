import type { DataColumns, Fit, FitOutcome, Model } from './contract.ts';
import { buildDesign, type Design } from './design/design.ts';
import { fitGeneralised } from './generalised/fit-generalised.ts';
import { fitDesign } from './linear/fit-design.ts';
import { fitPredictorError } from './predictor-error/fit-predictor-error.ts';
import { errorProneColumn } from './predictor-error/predictor-error-problems.ts';
import { fitResidualStructure } from './residual/fit-residual.ts';
import { hasResidualStructure } from './residual/has-structure.ts';

/** What a fit returns beyond estimates. */
export interface FitOptions {
  /** Adds each level's random effects to the result. */
  readonly predict?: boolean;
  /** Of a fit from groups: a fit of nearly the same data, whose variances the search begins with. It ends at the same optimum. */
  readonly near?: Fit | null;
}

/**
 * Fits a model to columns of data. A request that cannot be fitted comes back as problems, all at once; a fit that
 * should not be used says so in `diagnosis`. Nothing is thrown for what the data hold.
 *
 * Degrees of freedom are Satterthwaite's unless the model says otherwise; standard errors are those of the
 * criterion, except with kenward-roger, whose adjusted ones are given. A model without random terms is fitted
 * by least squares and has its residual degrees of freedom.
 * Binary, ordinal and count outcomes are fitted by maximum likelihood (Laplace's approximation, or adaptive quadrature
 * with `quadraturePoints`, where there are random terms), with tests for large samples.
 *
 * @example
 * const outcome = fitModel({ outcome: 'y', fixed: ['intercept'] }, { y: [1, 2, 6] });
 * outcome.ok && outcome.fit.result.fixed[0]!.estimate // 3
 */
export function fitModel<Row = Record<string, unknown>>(
  model: Model<Row>,
  data: DataColumns,
  options: FitOptions = {},
): FitOutcome {
  if (model.distribution !== undefined && model.distribution !== 'normal')
    return fitGeneralised(model as unknown as Model, data, options.predict ?? false);
  const design = buildDesign(model as unknown as Model, data);
  if (!isDesign(design)) return { ok: false, problems: design };
  if (errorProneColumn(design.model) !== null) return fitPredictorError(design, options.predict ?? false);
  if (hasResidualStructure(design.model)) return fitResidualStructure(design, options.predict ?? false);
  return fitDesign(design, options.predict ?? false);
}

function isDesign(value: Design | readonly unknown[]): value is Design {
  return !Array.isArray(value);
}
