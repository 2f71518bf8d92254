import { metricCatalogue } from '../../kinematics/index.ts';
import type { Problem } from '../problem.ts';
import { hashWith, RowsByHash } from '../rows-by-hash.ts';
import type { Table } from '../table.ts';

/** With fewer measured numbers than this, two swings may well agree by chance. */
const ENOUGH_NUMBERS = 4;

/** Swings that agree with an earlier one in every number measured: most likely a row pasted twice. */
export function checkCopies(swings: Table<'swings'>): Problem[] {
  const columns = metricCatalogue
    .filter(({ column, kind }) => kind === 'number' && swings.has(column))
    .map(({ column }) => swings.numbers(column));
  if (columns.length < ENOUGH_NUMBERS) return [];
  const before = new RowsByHash(swings.length);
  const problems: Problem[] = [];
  for (let index = 0; index < swings.length; index += 1) {
    const hash = hashOf(columns, index);
    if (hash === null) continue;
    const twin = before.find(hash, (row) => columns.every((values) => Object.is(values[row], values[index])));
    if (twin >= 0) problems.push(copyOf(swings, index, twin));
    else before.add(hash, index);
  }
  return problems;
}

const bits = new Float64Array(1);
const words = new Int32Array(bits.buffer);

/** A hash of the numbers of a row, or null when it has too few, or only whole ones, to tell swings apart. */
function hashOf(columns: readonly Float64Array[], index: number): number | null {
  let hash = 17;
  let measured = 0;
  let fractions = 0;
  for (const values of columns) {
    const value = values[index]!;
    if (!Number.isNaN(value)) measured += 1;
    if (value !== Math.trunc(value) && !Number.isNaN(value)) fractions += 1;
    bits[0] = value;
    hash = hashWith(hashWith(hash, words[0]!), words[1]!);
  }
  return measured >= ENOUGH_NUMBERS && fractions >= 2 ? hash : null;
}

function copyOf(swings: Table<'swings'>, index: number, twin: number): Problem {
  return {
    kind: 'duplicate-key',
    severity: 'warning',
    table: 'swings',
    row: swings.line(index),
    column: 'swing_id',
    found: swings.text('swing_id')[index] ?? '',
    expected: `numbers of its own; every number is that of line ${swings.line(twin)}`,
    remedy: 'If the row was pasted twice, take one away.',
  };
}
