import type { Model, ModelProblem } from '../contract.ts';

/** The column stated to be measured with error, or null. */
export function errorProneColumn({ errorSd }: Model): string | null {
  return Object.keys(errorSd ?? {})[0] ?? null;
}

/** What a model with an error-prone predictor may not ask for, all at once, before the data are looked at. */
export function predictorErrorProblems(model: Model): ModelProblem[] {
  const columns = Object.keys(model.errorSd ?? {});
  const column = columns[0];
  if (column === undefined) return [];
  const problems: ModelProblem[] = [];
  const refuse = (
    kind: ModelProblem['kind'],
    where: string,
    found: string,
    expected: string,
    remedy: string,
  ) => problems.push({ kind, where, found, expected, remedy });
  if (columns.length > 1)
    refuse(
      'not-available',
      '/errorSd',
      columns.join(', '),
      'one column measured with error',
      'Keep the column whose error is largest against its spread; fit once for each if several matter.',
    );
  const sd = model.errorSd![column]!;
  if (typeof sd === 'number' && !(sd >= 0 && Number.isFinite(sd)))
    refuse(
      'bad-model',
      `/errorSd/${column}`,
      String(sd),
      'a standard deviation, zero or above',
      'State the SD of repeated measurements of the same thing, in the unit of the column.',
    );
  let used = false;
  model.fixed.forEach((term, t) => {
    if (term === 'intercept') return;
    if ('product' in term ? term.product.includes(column) : term.column === column) used = true;
    const curved = 'product' in term ? term.product.includes(column) : false;
    const bent = 'column' in term && term.column === column && ('power' in term || 'spline' in term);
    const factor = 'column' in term && term.column === column && ('levels' in term || 'coding' in term);
    if (curved || bent || factor)
      refuse(
        'not-available',
        `/fixed/${t}`,
        `${column}, stated to be measured with error, in a product, a power, a spline or as a factor`,
        'the column itself, or its within and between parts',
        'Use the column as it stands, or take it out of errorSd and say that its effect is drawn towards zero.',
      );
  });
  if (!model.fixed.includes('intercept'))
    refuse(
      'not-available',
      '/fixed',
      'no intercept beside a predictor measured with error',
      '"intercept" among the fixed terms: the true predictor needs a mean',
      'Add "intercept".',
    );
  if (!used)
    refuse(
      'bad-model',
      `/errorSd/${column}`,
      column,
      'a column that a fixed term names',
      'Add a fixed term for the column or take it out of errorSd.',
    );
  (model.random ?? []).forEach((term, t) => {
    term.effects.forEach((effect, e) => {
      const names =
        typeof effect === 'string' ? [effect] : 'product' in effect ? effect.product : [effect.column];
      if (names.includes(column))
        refuse(
          'not-available',
          `/random/${t}/effects/${e}`,
          `${column}, stated to be measured with error, as a random effect`,
          'random effects of columns without error',
          'Take the random effect out, or the column out of errorSd.',
        );
    });
  });
  const groups = new Set((model.random ?? []).map(({ group }) => [group].flat().join(' / ')));
  if (groups.size > 1)
    refuse(
      'not-available',
      '/random',
      `random effects of ${[...groups].join(' and of ')}`,
      'random effects of one group beside a predictor measured with error',
      'Keep the group within which the predictor varies.',
    );
  if (model.inference?.degreesOfFreedom === 'kenward-roger')
    refuse(
      'not-available',
      '/inference/degreesOfFreedom',
      'kenward-roger with a predictor measured with error',
      'satterthwaite, residual or normal',
      'Use satterthwaite.',
    );
  if (model.inference?.robust)
    refuse(
      'not-available',
      '/inference/robust',
      'robust standard errors with a predictor measured with error',
      'standard errors of the model',
      'Take robust out, or take the column out of errorSd.',
    );
  return problems;
}
