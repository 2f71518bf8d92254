import type { ModelProblem } from '../contract.ts';
import { compareLevels } from '../design/data-column.ts';
import type { Design } from '../design/design.ts';
import type { ResidualParameter, ResidualStructure, Series } from './residual-structure.ts';

/**
 * The residual structure a model asks for, with its data; or, all at once, what stands in its way. A power of the
 * fitted value gets its `logFitted` later, when there are fitted values.
 */
export function readResidualStructure(design: Design): ResidualStructure | readonly ModelProblem[] {
  const { model, kept, rows } = design;
  const problems: ModelProblem[] = [];
  const parameters: ResidualParameter[] = [];
  let level: Int32Array | null = null;
  let series: Series | null = null;
  const variance = model.residual?.variance ?? 'constant';
  if (variance !== 'constant' && 'by' in variance) {
    const texts = kept.texts(variance.by);
    const levels = [...new Set(texts)].sort(compareLevels);
    level = Int32Array.from(texts, (text) => levels.indexOf(text));
    problems.push(...levelProblems(variance.by, levels, level));
    for (const name of levels.slice(1))
      parameters.push({ kind: 'ratio', level: name, reference: levels[0]! });
  }
  const correlation = model.residual?.correlation ?? 'none';
  if (correlation !== 'none') {
    const read = readSeries(design, correlation.group, correlation.order);
    if ('lag' in read) series = read;
    else problems.push(...read);
    parameters.push({ kind: 'autocorrelation' });
  }
  return problems.length > 0 ? problems : { rows, parameters, level, logFitted: null, series };
}

function levelProblems(column: string, levels: readonly string[], level: Int32Array): ModelProblem[] {
  const where = '/residual/variance/by';
  if (levels.length < 2)
    return [
      {
        kind: 'one-level',
        where,
        found: `only ${levels[0]} in ${column}, in the rows that can be used`,
        expected: 'at least two levels',
        remedy: 'Use a constant residual variance.',
      },
    ];
  const sizes = levels.map((_, l) => level.reduce((sum, at) => sum + (at === l ? 1 : 0), 0));
  const single = levels.filter((_, l) => sizes[l] === 1);
  if (single.length === 0) return [];
  return [
    {
      kind: 'too-many-effects',
      where,
      found: `a single row of ${column} ${single.slice(0, 10).join(', ')}`,
      expected: 'at least two rows of each level, better ten or more',
      remedy: 'Join small levels, or leave their rows out: one row does not tell how much rows scatter.',
    },
  ];
}

function readSeries(design: Design, group: string, order: string): Series | readonly ModelProblem[] {
  const { kept, keptRows, rows } = design;
  const groups = kept.texts(group);
  const steps = kept.numbers(order);
  const broken = steps.findIndex((step) => !Number.isSafeInteger(step));
  if (broken >= 0)
    return [
      {
        kind: 'not-a-number',
        where: '/residual/correlation/order',
        found: `${steps[broken]} in ${order}, data row ${keptRows[broken]! + 1}`,
        expected: 'whole numbers: evenly spaced steps, with gaps where steps are missing',
        remedy: `Number the rows of each ${group} 1, 2, 3 and so on in their order.`,
      },
    ];
  const sorted = Array.from({ length: rows }, (_, i) => i).sort((a, b) =>
    groups[a] === groups[b] ? steps[a]! - steps[b]! : compareLevels(groups[a]!, groups[b]!),
  );
  const previous = new Int32Array(rows).fill(-1);
  const lag = new Int32Array(rows);
  const twice: string[] = [];
  for (let at = 1; at < rows; at++) {
    const i = sorted[at]!;
    const j = sorted[at - 1]!;
    if (groups[i] !== groups[j]) continue;
    previous[i] = j;
    // Longer gaps leave no correlation that a number could hold.
    lag[i] = Math.min(steps[i]! - steps[j]!, 1e9);
    if (lag[i] === 0)
      twice.push(
        `${steps[i]} in ${group} ${groups[i]}, data rows ${keptRows[j]! + 1} and ${keptRows[i]! + 1}`,
      );
  }
  if (twice.length > 0)
    return [
      {
        kind: 'bad-model',
        where: '/residual/correlation/order',
        found: `the same ${order} twice: ${twice.slice(0, 5).join('; ')}${twice.length > 5 ? ` (and ${twice.length - 5} more)` : ''}`,
        expected: `each ${order} once in each ${group}`,
        remedy: `Name a finer group (a session rather than a golfer, say), or an order in which no two rows of a ${group} stand at the same place.`,
      },
    ];
  if (previous.every((j) => j < 0))
    return [
      {
        kind: 'too-many-effects',
        where: '/residual/correlation/group',
        found: `a single row in every ${group}`,
        expected: 'groups with several rows in order',
        remedy: 'Name a coarser group, or take the correlation out.',
      },
    ];
  const torn = design.groupings.find(({ at }) => previous.some((j, i) => j >= 0 && at[i] !== at[j]));
  if (torn)
    return [
      {
        kind: 'not-available',
        where: '/residual/correlation/group',
        found: `${group}, whose rows belong to several levels of ${torn.name}`,
        expected: `a group each of whose levels lies inside one level of ${torn.name}`,
        remedy: `Let the residuals hang together inside a finer group, such as a column that joins ${group} and ${torn.name}.`,
      },
    ];
  return { previous, lag };
}
