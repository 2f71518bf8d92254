import { readFileSync } from 'node:fs';
import { Ajv, type ValidateFunction } from 'ajv';
import type { TableName } from '../generated/rows.ts';
import { schemaProblem } from '../plan-problem.ts';
import type { DateOrder } from './cell-values.ts';
import type { ImportProblem } from './import-problem.ts';
import { targetOf } from './targets.ts';
import { unitsLike } from './units.ts';

/** What has no answer yet: an import does not begin before the coach has written one. */
export const ASK = 'ask';
export type Ask = typeof ASK;

export type Convention = 'as-is' | 'included-angle' | 'opposite-sign';

/** How a column of the sheet becomes a column of a table. */
export interface ColumnMap {
  /** Counted from 1. */
  readonly column: number;
  readonly header: string;
  /** Such as swings.club_speed_mps; null where it is left in the original only. */
  readonly to: string | null;
  readonly unit?: string;
  readonly convention?: Convention | Ask;
  /** The numbers are of the golfer's right (left) side: taken where that is the trail side. */
  readonly side?: 'right' | 'left';
  readonly words?: readonly { readonly written: string; readonly means: string }[];
  readonly reason: string;
  readonly alternatives?: readonly string[];
}

export interface GolferMap {
  readonly golfer_id: string;
  /** As the sheet has it; empty where the whole file is of one golfer and has no column for it. */
  readonly written: readonly string[];
  /** Whether several spellings are one golfer. */
  readonly same?: 'yes' | Ask;
  /** null where a column says it, or the dataset knows it. */
  readonly plays: 'right' | 'left' | Ask | null;
  readonly status: 'new' | 'known';
  readonly reason: string;
}

/** What data-schemas/import-mapping.schema.json describes. */
export interface Mapping {
  readonly $schema?: string;
  readonly version: 1;
  readonly source: { readonly file: string; readonly sha256: string };
  readonly reading: {
    readonly delimiter?: string;
    readonly sheet?: string;
    readonly decimal: '.' | ',' | Ask;
    readonly header_lines: readonly number[];
    readonly unit_line: number | null;
    readonly first_line: number;
    readonly leave_out: readonly { readonly line: number; readonly why: string }[];
    readonly hidden_rows: 'take' | 'leave-out' | Ask;
    readonly date_order: DateOrder | Ask;
    /** The first of the hundred years in which years of two figures lie; without it such a year makes no date. */
    readonly two_figure_years?: number | Ask;
    readonly missing: readonly string[];
    readonly reasons: readonly string[];
  };
  /** What one row of the sheet is. */
  readonly rows: Exclude<TableName, 'captures'>;
  readonly columns: readonly ColumnMap[];
  readonly golfers: readonly GolferMap[];
  readonly sessions: {
    readonly date: string | null;
    readonly phase: string | null | readonly { readonly from: string; readonly phase: string }[];
    readonly device: string | null;
    /** Put behind ids made from golfer and date, to tell two visits of one day apart. */
    readonly suffix: string | null;
  };
  readonly task: string | null;
  readonly join: {
    readonly by: 'swing_id' | 'time';
    readonly tolerance_s?: number;
    /** Added to the times of this file, where its clock is behind; without it the times must tell. */
    readonly offset_s?: number | readonly { readonly from: string; readonly offset_s: number }[];
  } | null;
}

let compiled: ValidateFunction | undefined;

function validator(): ValidateFunction {
  compiled ??= new Ajv({ allErrors: true, verbose: true, allowUnionTypes: true }).compile(
    JSON.parse(
      readFileSync(new URL('../../../data-schemas/import-mapping.schema.json', import.meta.url), 'utf8'),
    ),
  );
  return compiled;
}

/**
 * A value as a mapping, or everything that is wrong with it: the parsed JSON of a mapping file.
 * @example checkMapping({}).ok // false; `problems` lists each missing key with its path
 */
export function checkMapping(
  value: unknown,
):
  | { readonly ok: true; readonly mapping: Mapping }
  | { readonly ok: false; readonly problems: readonly ImportProblem[] } {
  const validate = validator();
  if (!validate(value))
    return {
      ok: false,
      problems: (validate.errors ?? [])
        .filter(({ keyword }) => keyword !== 'anyOf' && keyword !== 'oneOf')
        .map(schemaProblem)
        .map(({ where, ...rest }) => ({ where: `mapping ${where}`, ...rest })),
    };
  const mapping = value as Mapping;
  const problems = [...columnFaults(mapping), ...golferFaults(mapping), ...joinFaults(mapping)];
  return problems.length > 0 ? { ok: false, problems } : { ok: true, mapping };
}

function columnFaults(mapping: Mapping): ImportProblem[] {
  const taken = new Map<string, ColumnMap>();
  return mapping.columns.flatMap((map, index): ImportProblem[] => {
    const where = `mapping /columns/${index}`;
    if (map.to === null || map.to === ASK) return [];
    const target = targetOf(map.to);
    if (target === undefined)
      return [
        {
          where: `${where}/to`,
          found: map.to,
          expected: 'TABLE.COLUMN of the data dictionary, or null',
          remedy: 'Correct the name.',
        },
      ];
    const problems: ImportProblem[] = [];
    const key = `${map.to} ${map.side ?? ''}`;
    const other = taken.get(key);
    if (other !== undefined)
      problems.push({
        where: `${where}/to`,
        found: `${map.to} for column ${map.column} and for column ${other.column}`,
        expected: 'one column of the sheet for each column of a table',
        remedy: 'Write null for one of the two.',
      });
    taken.set(key, map);
    if (
      map.unit !== undefined &&
      map.unit !== ASK &&
      (target.unit === null || !unitsLike(target.unit).includes(map.unit))
    )
      problems.push({
        where: `${where}/unit`,
        found: map.unit,
        expected: target.unit === null ? 'no unit' : `one of: ${unitsLike(target.unit).join(', ')}`,
        remedy: 'Write the unit in which the sheet has the column.',
      });
    return problems;
  });
}

function golferFaults({ golfers }: Mapping): ImportProblem[] {
  const seen = new Map<string, string>();
  const ids = new Set<string>();
  return golfers.flatMap(({ golfer_id, written }, index): ImportProblem[] => {
    const problems: ImportProblem[] = [];
    if (ids.has(golfer_id) && golfer_id !== ASK)
      problems.push({
        where: `mapping /golfers/${index}/golfer_id`,
        found: `${golfer_id} again`,
        expected: 'each golfer once',
        remedy: 'Put both spellings into one entry, or give another code.',
      });
    ids.add(golfer_id);
    for (const name of written) {
      const other = seen.get(name);
      if (other !== undefined)
        problems.push({
          where: `mapping /golfers/${index}/written`,
          found: `'${name}', which stands for ${other} too`,
          expected: 'each spelling for one golfer',
          remedy: 'Take it away from one of the two.',
        });
      seen.set(name, golfer_id);
    }
    return problems;
  });
}

function joinFaults({ join, rows, columns }: Mapping): ImportProblem[] {
  if (join === null) return [];
  if (rows !== 'swings')
    return [
      {
        where: 'mapping /join',
        found: `a join of ${rows}`,
        expected: 'a join of swings, or null',
        remedy: 'Write null; the rows are told apart by their keys.',
      },
    ];
  const has = (wanted: string) => columns.some(({ to }) => to === wanted);
  if (join.by === 'time' || has('swings.swing_id')) return [];
  if (['golfers.golfer_id', 'sessions.date', 'swings.order_in_session'].every(has)) return [];
  return [
    {
      where: 'mapping /join/by',
      found: 'swing_id, and no column of the sheet that becomes swings.swing_id',
      expected:
        'a column with the ids of the swings, as the dataset has them, or columns for golfer, date and number of the swing that make them',
      remedy: 'Say which column it is, or join by time.',
    },
  ];
}

/**
 * The questions of a mapping that are still open, each with its place in the file and what may be written there; empty where
 * everything is answered.
 *
 * @example
 * // No sheet says in which phase of a trial it was made
 * const proposal = proposeMapping(new TextEncoder().encode('date,golfer,club speed (mph)\n2026-03-04,G01,80\n'), 'lesson.csv');
 * proposal.ok && openQuestions(proposal.mapping).map(({ where }) => where).includes('mapping /sessions/phase') // true
 */
export function openQuestions(mapping: Mapping): readonly ImportProblem[] {
  const questions: ImportProblem[] = [];
  const ask = (where: string, value: unknown, found: string, expected: string, remedy: string) => {
    if (value === ASK) questions.push({ where: `mapping ${where}`, found, expected, remedy });
  };
  const { reading, sessions } = mapping;
  const why = (key: string) =>
    reading.reasons.find((reason) => reason.startsWith(`${key}: `))?.slice(key.length + 2) ?? 'no answer yet';
  ask(
    '/reading/sheet',
    reading.sheet,
    why('sheet'),
    'the name of one sheet',
    'Write the name of the sheet with the swings.',
  );
  ask(
    '/reading/decimal',
    reading.decimal,
    why('decimal'),
    '"." or ","',
    'Write the mark that stands before the decimals.',
  );
  ask(
    '/reading/date_order',
    reading.date_order,
    why('date_order'),
    'day-first, month-first, year-first, counted-1900 or counted-1904',
    'Write how the dates in the sheet are meant.',
  );
  ask(
    '/reading/two_figure_years',
    reading.two_figure_years,
    why('two_figure_years'),
    'the first of the hundred years that are meant: 2000 makes 98 the year 2098; 1930 makes it 1998, and 29 the year 2029',
    'Write the first of those years as a number, without quotes.',
  );
  ask(
    '/reading/hidden_rows',
    reading.hidden_rows,
    why('hidden_rows'),
    'take or leave-out',
    'Write whether rows hidden in the sheet count.',
  );
  mapping.columns.forEach((map, index) => {
    const at = `/columns/${index}`;
    const named = `column ${map.column} '${map.header}'. ${map.reason}`;
    const among = map.alternatives === undefined ? '' : map.alternatives.join(', ');
    ask(
      `${at}/to`,
      map.to,
      named,
      `one of: ${among}, or null`,
      'Write what the column is, or null to leave it in the original only.',
    );
    ask(`${at}/unit`, map.unit, named, `one of: ${among}`, 'Write the unit of the sheet.');
    ask(
      `${at}/convention`,
      map.convention,
      named,
      'as-is, included-angle or opposite-sign',
      'Write how the angle is counted in the sheet.',
    );
    for (const { written, means } of map.words ?? [])
      ask(
        `${at}/words`,
        means,
        `'${written}' in column ${map.column} '${map.header}'`,
        `one of: ${(targetOf(map.to ?? '')?.field.constraints?.enum ?? ['yes', 'no']).join(', ')}`,
        `Write what '${written}' means.`,
      );
  });
  // A row that is joined to a swing by its id needs nothing else to find it.
  const byId = mapping.join?.by === 'swing_id';
  const named = mapping.columns.some(({ to }) => to === 'golfers.golfer_id');
  (byId && !named ? [] : mapping.golfers).forEach((golfer, index) => {
    const named =
      golfer.written.length === 0
        ? 'the golfer of this file'
        : golfer.written.map((name) => `'${name}'`).join(' and ');
    ask(
      `/golfers/${index}/golfer_id`,
      golfer.golfer_id,
      named,
      'a code such as G01, never a name',
      'Write the code of the golfer.',
    );
    ask(
      `/golfers/${index}/same`,
      golfer.same,
      `${named}: ${golfer.reason}`,
      'yes',
      'Write yes if they are one golfer; if not, give each spelling an entry of its own.',
    );
    ask(
      `/golfers/${index}/plays`,
      golfer.plays,
      `${golfer.golfer_id}: the sheet does not say`,
      'right or left',
      'Write the side the golfer plays from.',
    );
  });
  if (!byId)
    ask(
      '/sessions/date',
      sessions.date,
      'no column of dates',
      'a date such as 2026-03-04',
      'Write the day of the visit.',
    );
  if (mapping.join !== null) return questions;
  ask(
    '/sessions/phase',
    sessions.phase,
    'no column that says the phase',
    'baseline, training, post or retention; or a list of {"from": date, "phase": word}',
    'Write the phase of these sessions.',
  );
  ask(
    '/task',
    mapping.task,
    'no column that says what was swung',
    'full, partial, drill or chip',
    'Write what these swings are.',
  );
  return questions;
}
