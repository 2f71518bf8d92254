import type { Model, ModelProblem } from '../contract.ts';
import { problemsOfRequest } from '../design/not-available.ts';
import { errorProneColumn } from '../predictor-error/predictor-error-problems.ts';
import { hasResidualStructure } from '../residual/has-structure.ts';

/** The highest power of a column that sums are made of. */
const HIGHEST_POWER = 4;

/** What a model asks for that sums over groups do not tell. */
export function sumsProblems(model: Model): ModelProblem[] {
  const problems: ModelProblem[] = [];
  const refuse = (where: string, found: string, expected: string, remedy: string) =>
    problems.push({ kind: 'not-available', where, found, expected, remedy });
  const rows = 'Fit the rows instead.';
  if (model.distribution !== undefined && model.distribution !== 'normal')
    refuse(
      '/distribution',
      `the distribution ${model.distribution}`,
      'a normal outcome: no other has sums that hold all it says',
      rows,
    );
  if (hasResidualStructure(model))
    refuse(
      '/residual',
      'a residual variance or correlation that is estimated',
      'independent residuals of one variance (known weights may be given)',
      rows,
    );
  if (errorProneColumn(model) !== null)
    refuse('/errorSd', 'a column measured with error', 'columns taken as they stand', rows);
  if (model.inference?.robust)
    refuse(
      '/inference/robust',
      'robust standard errors, which are made of the residual of each row',
      'the standard errors of the model',
      rows,
    );
  model.fixed.forEach((term, t) => {
    if (term === 'intercept') return;
    if ('spline' in term)
      refuse(
        `/fixed/${t}/spline`,
        'a spline, whose knots stand at quantiles of the rows',
        'columns, powers of them, and products',
        `Use powers of ${term.column}, or fit the rows instead.`,
      );
    if ('power' in term && !(Number.isInteger(term.power) && term.power >= 1 && term.power <= HIGHEST_POWER))
      refuse(
        `/fixed/${t}/power`,
        `the power ${term.power}`,
        `a whole power from 1 to ${HIGHEST_POWER}`,
        'Put the power into the data as a column of its own.',
      );
  });
  return problems.length > 0 ? problems : problemsOfRequest(model);
}
