import type { Model, ModelProblem } from '../contract.ts';

/** Robust standard errors ask for least squares: whatever else the model says about spread would be ignored. */
export function robustProblems(model: Model): ModelProblem[] {
  if (!model.inference?.robust) return [];
  const refuse = (found: string, remedy: string): ModelProblem => ({
    kind: 'bad-model',
    where: '/inference/robust',
    found,
    expected: 'least squares: a normal outcome, no random terms, residuals of one variance',
    remedy,
  });
  if ((model.distribution ?? 'normal') !== 'normal')
    return [
      refuse(`robust standard errors for a ${model.distribution} outcome`, 'Take robust out of inference.'),
    ];
  if ((model.random ?? []).length > 0)
    return [
      refuse(
        'robust standard errors together with random terms',
        'Take out robust, or take out the random terms and name their group in robust.',
      ),
    ];
  const { variance = 'constant', correlation = 'none' } = model.residual ?? {};
  if (variance !== 'constant' || correlation !== 'none')
    return [
      refuse(
        'robust standard errors together with a residual structure',
        'Take out one of the two: each answers the same doubt.',
      ),
    ];
  if (model.inference.degreesOfFreedom !== undefined)
    return [
      {
        kind: 'bad-model',
        where: '/inference/degreesOfFreedom',
        found: `${model.inference.degreesOfFreedom} together with robust`,
        expected: 'the degrees of freedom that belong to the robust method',
        remedy: 'Take degreesOfFreedom out.',
      },
    ];
  return [];
}
