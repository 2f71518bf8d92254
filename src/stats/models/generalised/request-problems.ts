import type { Model, ModelProblem } from '../contract.ts';

/** More nodes than this gain nothing in double precision. */
const MOST_POINTS = 100;

/** Requests that make no sense for a yes/no, ordinal or count outcome. */
export function generalisedRequestProblems(model: Model): ModelProblem[] {
  const problems: ModelProblem[] = [];
  const refuse = (where: string, found: string, expected: string, remedy: string) =>
    problems.push({ kind: 'bad-model', where, found, expected, remedy });
  const { distribution, quadraturePoints = 1, random = [] } = model;
  if (model.trials !== undefined && distribution !== 'binary')
    refuse('/trials', model.trials, 'no trials', 'Trials belong to a binary outcome; take the key out.');
  if (quadraturePoints > MOST_POINTS)
    refuse(
      '/quadraturePoints',
      String(quadraturePoints),
      `at most ${MOST_POINTS}`,
      'Ask for fewer: 10 to 25 are plenty.',
    );
  const scalar = random.length === 1 && random[0]!.effects.length === 1;
  if (quadraturePoints > 1 && random.length > 0 && !scalar)
    refuse(
      '/quadraturePoints',
      `${quadraturePoints} with ${random.length > 1 ? `${random.length} random terms` : `${random[0]!.effects.length} random effects in one term`}`,
      '1 (Laplace), or a single random term with a single effect',
      'Set it to 1 or leave it out.',
    );
  if (distribution === 'ordinal' && model.fixed.includes('intercept'))
    refuse(
      `/fixed/${model.fixed.indexOf('intercept')}`,
      'intercept',
      'no intercept',
      'Take it out: the thresholds between the ratings take its place.',
    );
  if (model.weights !== undefined)
    refuse(
      '/weights',
      model.weights,
      'no weights',
      'The spread of such an outcome follows from its mean; name the trials where a row stands for several.',
    );
  if (model.criterion === 'reml')
    refuse('/criterion', 'reml', 'ml', 'Take the key out: REML is defined for a normal outcome.');
  const { degreesOfFreedom } = model.inference ?? {};
  if (degreesOfFreedom !== undefined && degreesOfFreedom !== 'normal')
    refuse(
      '/inference/degreesOfFreedom',
      degreesOfFreedom,
      'normal',
      'Take the key out: tests of such an outcome are those of large samples.',
    );
  const { variance = 'constant', correlation = 'none' } = model.residual ?? {};
  if (variance !== 'constant' || correlation !== 'none')
    refuse(
      '/residual',
      JSON.stringify(model.residual),
      'no residual structure',
      'Take the key out: such an outcome has no residual of its own; use a random effect instead.',
    );
  return problems;
}
