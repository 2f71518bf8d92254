import { checkModel } from './check-model.ts';
import type { DataColumns, FitResult, Model, ModelProblem } from './contract.ts';
import { fitModel } from './fit-model.ts';

/**
 * The fit of a model given as JSON, or every reason why there is none; `unfit` says that the fit should not be used,
 * and `result` why.
 */
export type DocumentFit =
  | { readonly ok: true; readonly model: Model; readonly result: FitResult; readonly unfit: boolean }
  | { readonly ok: false; readonly problems: readonly ModelProblem[] };

/**
 * Fits a model given as parsed JSON to columns read from a table (text is fine: text that spells a number is a
 * number). `unfit` is true when the result's own diagnosis says it should not be used.
 *
 * @example
 * const read = fitDocument({ outcome: 'y' }, { y: ['1'] }, { predict: false });
 * !read.ok && read.problems.length // 1: `fixed` is missing
 */
export function fitDocument(
  modelJson: unknown,
  data: DataColumns,
  options: { readonly predict: boolean },
): DocumentFit {
  const checked = checkModel(modelJson);
  if (!checked.ok) return checked;
  const outcome = fitModel(checked.model, data, options);
  if (!outcome.ok) return outcome;
  const { result } = outcome.fit;
  return { ok: true, model: checked.model, result, unfit: !result.diagnosis.converged };
}
