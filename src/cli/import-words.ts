import { type ImportOutcome, type ImportProblem, type Mapping, shellWord } from '../dataset/index.ts';
import { withinLine } from './terminal-text.ts';
import { wrapped } from './wrapped.ts';

const WIDTH = 100;
/** More would scroll the summary away; all of them stand in import-log.jsonl and under --json. */
const MOST_SHOWN = 20;

const item = (text: string) => wrapped(withinLine(text), WIDTH, '  ', '    ');

/** What was proposed and what is still asked, for somebody who will open the mapping next. */
export function proposalInWords(
  mapping: Mapping,
  questions: readonly ImportProblem[],
  rows: number,
  { mapping: file, data }: { readonly mapping: string; readonly data: string | undefined },
): string {
  const taken = mapping.columns.filter(({ to }) => to !== null && to !== 'ask');
  const left = mapping.columns.filter(({ to }) => to === null);
  const people = mapping.golfers.map(
    ({ golfer_id, written }) =>
      `${written.map((name) => `'${name}'`).join(' and ') || 'everybody'} is ${golfer_id}`,
  );
  return [
    `${file} proposes how ${rows} rows of ${mapping.source.file} become ${mapping.rows}.`,
    '',
    'How the file is read:',
    ...mapping.reading.reasons.map(item),
    '',
    'Columns:',
    ...taken.map(({ header, to, unit, convention, reason }) =>
      item(
        `'${header}' -> ${to}${unit === undefined ? '' : `, in ${unit}`}${convention === undefined || convention === 'as-is' ? '' : `, ${convention}`}: ${reason}.`,
      ),
    ),
    ...(left.length === 0
      ? []
      : [item(`left in the original only: ${left.map(({ header }) => `'${header}'`).join(', ')}.`)]),
    '',
    ...(people.length === 0
      ? []
      : [`Golfers: ${withinLine(many(people, ', '))}. The names stay in the mapping and the original.`, '']),
    ...(questions.length === 0
      ? ['Nothing is asked. Look through the mapping, then:']
      : [
          `To answer in the mapping before the import (${questions.length}):`,
          ...questions.map(({ where, found, expected, remedy }) =>
            item(`${where.replace(/^mapping /, '')}: ${found}. ${remedy} Allowed: ${expected}.`),
          ),
          item(
            'Open the mapping in a plain text editor: each question stands there as "ask". Write the answer in its place, between the quotation marks.',
          ),
          '',
          'Then:',
        ]),
    `  npm run --silent cli -- import --mapping ${shellWord(file)} --data ${data === undefined ? 'my-roster' : shellWord(data)}`,
  ].join('\n');
}

/** What an import did: the count first, then everything that was left out or left empty. */
export function outcomeInWords(
  outcome: ImportOutcome,
  folder: string,
): { readonly text: string; readonly messages: readonly string[] } {
  const { rows, imported, joined, alreadyThere, leftOut } = outcome.counts;
  const parts = [
    `${imported} imported`,
    ...(joined > 0 ? [`${joined} joined`] : []),
    ...(alreadyThere > 0 ? [`${alreadyThere} there already`] : []),
    `${leftOut} left out`,
  ];
  const text = [
    `${rows} rows: ${parts.join(', ')}.`,
    outcome.changed
      ? `${folder} has them, the original under originals/ and every action in import-log.jsonl.`
      : `Nothing was changed: ${outcome.why}.`,
    ...(outcome.clock === null ? [] : [clockInWords(outcome.clock)]),
    ...(outcome.missingWords > 0
      ? [
          `${outcome.missingWords} cells hold a word for a missing value, or a number of the side that leads, and are empty in the tables.`,
        ]
      : []),
    ...(outcome.warnings.length > 0
      ? [`${outcome.warnings.length} warnings to read: npm run --silent cli -- check ${shellWord(folder)}`]
      : []),
  ].join('\n');
  const lines = [
    ...outcome.leftOut.map(({ line, why }) => `line ${line} was left out: ${why}.`),
    ...outcome.emptied.map(
      ({ line, header, found, why }) =>
        `line ${line}, '${header}' was left empty: found ${shown(found)}; ${why.replace(/\.$/, '')}.`,
    ),
    ...outcome.kept.map(
      ({ line, table, column, has }) => `line ${line}: ${table}.${column} stays ${has}, as it was.`,
    ),
    ...outcome.unmatchedSwings.map((swing) => `swing ${swing} of the dataset has no row in the file.`),
  ].map(withinLine);
  return {
    text,
    messages:
      lines.length > MOST_SHOWN
        ? [
            ...lines.slice(0, MOST_SHOWN),
            `and ${lines.length - MOST_SHOWN} more${outcome.changed ? ', in import-log.jsonl' : '; --json lists all'}.`,
          ]
        : lines,
  };
}

/** What was added to the times of a file that was joined by time, and how that is known. */
function clockInWords({ offsets, why }: NonNullable<ImportOutcome['clock']>): string {
  const added = offsets.map(
    ({ from, offset_s }) => `${offset_s} s${from === null ? '' : ` from ${from} on`}`,
  );
  return `Added to the times of the file: ${added.length === 0 ? '0 s' : many(added, ', ')} (${why}).`;
}

function many(parts: readonly string[], between: string): string {
  return parts.length <= MOST_SHOWN
    ? parts.join(between)
    : `${parts.slice(0, MOST_SHOWN).join(between)} and ${parts.length - MOST_SHOWN} more`;
}

/** What cannot be seen is written as a code, line ends too, and what is long is cut. */
function shown(text: string): string {
  const visible = withinLine(text);
  return visible.length <= 60 ? visible : `${visible.slice(0, 60)}...`;
}
