import type { Model, ModelProblem } from '../contract.ts';
import { generalisedRequestProblems } from '../generalised/request-problems.ts';
import { errorProneColumn, predictorErrorProblems } from '../predictor-error/predictor-error-problems.ts';
import { hasResidualStructure } from '../residual/has-structure.ts';
import { robustProblems } from '../robust/robust-problems.ts';

/** The parts of the contract that this engine does not fit yet, and requests that contradict themselves. */
export function problemsOfRequest(model: Model): ModelProblem[] {
  const problems: ModelProblem[] = [];
  const refuse = (where: string, found: string, expected: string, remedy: string) =>
    problems.push({ kind: 'not-available', where, found, expected, remedy });
  if (model.distribution !== undefined && model.distribution !== 'normal')
    problems.push(...generalisedRequestProblems(model));
  else {
    if (model.trials !== undefined)
      refuse('/trials', model.trials, 'no trials', 'Trials belong to a binary outcome; take the key out.');
    if (model.quadraturePoints !== undefined)
      refuse(
        '/quadraturePoints',
        String(model.quadraturePoints),
        'no quadrature',
        'A normal outcome is integrated exactly; take the key out.',
      );
  }
  if (hasResidualStructure(model) && model.inference?.degreesOfFreedom === 'kenward-roger')
    refuse(
      '/inference/degreesOfFreedom',
      'kenward-roger with residual parameters that are estimated',
      'satterthwaite, residual or normal',
      'Use satterthwaite: it takes the estimation of the residual parameters into account.',
    );
  if (errorProneColumn(model) !== null && hasResidualStructure(model))
    refuse(
      '/residual',
      'residual parameters together with a predictor measured with error',
      'one of the two',
      'Use a constant residual variance and no correlation, or take errorSd out.',
    );
  problems.push(...predictorErrorProblems(model));
  if (model.criterion === 'ml' && model.inference?.degreesOfFreedom === 'kenward-roger')
    problems.push({
      kind: 'bad-model',
      where: '/inference/degreesOfFreedom',
      found: 'kenward-roger together with the criterion ml',
      expected: 'kenward-roger with reml, or satterthwaite with ml',
      remedy: 'Set the criterion to reml: the adjustment is derived for it.',
    });
  problems.push(...robustProblems(model));
  if (model.fixed.length === 0 && model.distribution !== 'ordinal')
    problems.push({
      kind: 'bad-model',
      where: '/fixed',
      found: 'no fixed term',
      expected: 'at least one, usually "intercept"',
      remedy: 'Add "intercept".',
    });
  const seen = new Set<string>();
  (model.random ?? []).forEach((term, t) => {
    const group = typeof term.group === 'string' ? term.group : term.group.join(' / ');
    for (const effect of term.effects) {
      const key = `${group}: ${JSON.stringify(effect)}`;
      if (seen.has(key))
        problems.push({
          kind: 'bad-model',
          where: `/random/${t}`,
          found: `${JSON.stringify(effect)} a second time for ${group}`,
          expected: 'each effect once for each group',
          remedy: 'Take one of them out.',
        });
      seen.add(key);
    }
  });
  return problems;
}
