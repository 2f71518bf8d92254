import type { JudgedRow } from '../calibration-tables.ts';
import type { Check } from '../finding.ts';
import { count, list, percent } from '../shared/words.ts';
import type { CalibratedStudy } from './row.ts';

/** The answer in a sentence or two, by what was found. */
export function answerWords(rows: readonly JudgedRow[]): string {
  const low = rows.filter(({ standing }) => standing === 'too-low');
  const high = rows.filter(({ standing }) => standing === 'too-high');
  const often = rows.filter(({ falseAlarms }) => falseAlarms === 'too-often');
  const open = rows.filter(
    ({ standing, falseAlarms }) => standing === 'cannot-tell' || falseAlarms === 'cannot-tell',
  );
  const claimed = rows.filter(({ standing }) => standing !== 'not-claimed' && standing !== 'no-interval');
  const inside = claimed.filter(({ standing }) => standing === 'inside');
  if (claimed.length === 0 && often.length === 0 && open.length === 0)
    return 'Nothing that promises 95% could be counted here.';
  const most = `${inside.length} of ${claimed.length} kinds of interval hold the truth as often as they say (93.5 to 96.5%, or more where they promise no less).`;
  const faults = [
    low.length === 0 ? '' : `${quantities(low)} ${low.length === 1 ? 'is' : 'are'} too sure`,
    high.length === 0 ? '' : `${quantities(high)} ${high.length === 1 ? 'is' : 'are'} wider than needed`,
    often.length === 0 ? '' : `something is found too often where nothing is there (${quantities(often)})`,
  ].filter((text) => text !== '');
  if (faults.length > 0) return `Not everywhere: ${faults.join('; ')}. ${most}`;
  if (open.length > 0)
    return `No fault is proven, but ${count(open.length, 'count')} of ${rows.length} ${open.length === 1 ? 'lies' : 'lie'} at an edge of the band or rest on too few cohorts to tell. ${most}`;
  return `Yes: ${inside.length === claimed.length ? `all ${claimed.length} kinds of interval hold the truth as often as they say (93.5 to 96.5%, or more where they promise no less)` : most}, and where nothing is there it is seldom said that something is.`;
}

/** By study and quantity, with the kinds of cohort counted: `drill-trial: own change of a golfer (2 kinds of cohort)`. */
function quantities(rows: readonly JudgedRow[]): string {
  const kinds = new Map<string, number>();
  for (const { study, quantity } of rows) {
    const name = `${study}, ${quantity}`;
    kinds.set(name, (kinds.get(name) ?? 0) + 1);
  }
  return list([...kinds].map(([name, n]) => `${name} (${count(n, 'kind')} of cohort)`));
}

/** One check for each study, then the errors where nothing is there, answers that failed, and bias. */
export function checksOf(rows: readonly JudgedRow[], studies: readonly CalibratedStudy[]): Check[] {
  return [...studies.map((study) => ofStudy(study, rows)), ofAlarms(rows), ofAnswers(rows), ofBias(rows)];
}

function ofStudy(study: CalibratedStudy, rows: readonly JudgedRow[]): Check {
  const own = rows.filter((row) => row.study === study && row.claim !== 'none' && row.covered !== null);
  const off = own.filter(({ standing }) => standing === 'too-low' || standing === 'too-high');
  const open = own.filter(({ standing }) => standing === 'cannot-tell');
  const name = `${study}: 95% intervals hold the truth`;
  if (own.length === 0) return { name, outcome: 'not-possible', words: 'No interval was given.' };
  const shares = own.map(({ covered }) => covered!);
  const span = `Coverage of ${count(own.length, 'quantity', 'quantities')} from ${percent(Math.min(...shares), 1)} to ${percent(Math.max(...shares), 1)}.`;
  const telling = [...off, ...open];
  if (telling.length === 0) return { name, outcome: 'good', words: span };
  const listed = telling.map((row) => `${row.case}, ${row.quantity}: ${standingWords(row)}${reason(row)}`);
  return { name, outcome: off.length > 0 ? 'bad' : 'look', words: `${span} ${listed.join(' ')}` };
}

function reason({ why }: JudgedRow): string {
  return why === '' ? '' : ` ${why}`;
}

/** `84.9% (84.5 to 85.3%), too sure.` */
export function standingWords({ covered, coveredInterval, standing }: JudgedRow): string {
  if (covered === null || coveredInterval === null) return 'no interval.';
  const [low, high] = coveredInterval.map((end) => (100 * end).toFixed(1));
  return `${percent(covered, 1)} (Monte Carlo ${low} to ${high}%), ${STANDING_WORDS[standing]}.`;
}

export const STANDING_WORDS: Readonly<Record<JudgedRow['standing'], string>> = {
  inside: 'as it says',
  'too-low': 'too sure',
  'too-high': 'wider than needed',
  'cannot-tell': 'at the edge of the band, or too few cohorts',
  'not-claimed': 'no claim is made here',
  'no-interval': 'no interval',
};

function ofAlarms(rows: readonly JudgedRow[]): Check {
  const name = 'Where nothing is there, nothing is found';
  const asked = rows.filter(({ falseAlarms }) => falseAlarms !== 'not-asked');
  if (asked.length === 0)
    return { name, outcome: 'not-possible', words: 'No kind of cohort was without an effect.' };
  const often = asked.filter(({ falseAlarms }) => falseAlarms === 'too-often');
  const open = asked.filter(({ falseAlarms }) => falseAlarms === 'cannot-tell');
  const span = `In ${count(asked.length, 'row')} without an effect, something was found (\u2018meaningful\u2019, or a test at 5%) in ${percent(Math.min(...asked.map((row) => row.meaningful!)), 2)} to ${percent(Math.max(...asked.map((row) => row.meaningful!)), 2)}.`;
  const listed = [...often, ...open].map(
    (row) =>
      `${row.study}, ${row.case}, ${row.quantity}: ${percent(row.meaningful!, 1)}, promised at most ${percent(row.mostFalse!)}.`,
  );
  return {
    name,
    outcome: often.length > 0 ? 'bad' : open.length > 0 ? 'look' : 'good',
    words: [span, ...listed].join(' '),
  };
}

function ofAnswers(rows: readonly JudgedRow[]): Check {
  const name = 'Every cohort gets an answer';
  const asked = rows.filter(({ covered }) => covered !== null);
  const silent = asked.filter(({ answered, cohorts }) => answered < cohorts);
  if (silent.length === 0)
    return {
      name,
      outcome: asked.length === 0 ? 'not-possible' : 'good',
      words: asked.length === 0 ? 'No interval was given.' : 'An interval was given in every cohort.',
    };
  return {
    name,
    outcome: 'look',
    words: `Without an interval, and so not counted: ${silent.map((row) => `${row.study}, ${row.case}, ${row.quantity}: ${row.cohorts - row.answered} of ${row.cohorts}`).join('; ')}.`,
  };
}

/** Monte Carlo standard errors beyond which a bias is called one: of a hundred rows, one in sixteen thousand by chance. */
const FAR = 4;

function ofBias(rows: readonly JudgedRow[]): Check {
  const name = 'Estimates are right on average';
  const asked = rows.filter(
    ({ claim, bias, standardError }) => claim !== 'none' && bias !== null && standardError !== null,
  );
  if (asked.length === 0) return { name, outcome: 'not-possible', words: 'No estimate was given.' };
  const off = asked.filter(({ bias, standardError }) => Math.abs(bias!) > FAR * standardError!);
  if (off.length === 0)
    return {
      name,
      outcome: 'good',
      words: `Of ${asked.length} estimates none is off its truth by more than ${FAR} Monte Carlo standard errors.`,
    };
  return {
    name,
    outcome: 'look',
    words: `Off the truth by more than ${FAR} Monte Carlo standard errors: ${off
      .map(
        ({ study, case: kind, quantity, bias }) =>
          `${study}, ${kind}, ${quantity} by ${Number(bias!.toPrecision(2))}`,
      )
      .join(
        '; ',
      )}. An SD whose square is right on average is itself a little too small, and one that cannot be below zero is too large where it is small.`,
  };
}

export function cautionsOf(rows: readonly JudgedRow[]): string[] {
  const none = rows.filter(({ standing }) => standing === 'not-claimed');
  return [
    'The cohorts are drawn from models much like those that are fitted. Real golfers may differ from them in ways nobody thought of, and then intervals may hold the truth less often.',
    'A coverage is of the method over many cohorts; it says nothing about the one interval on a page.',
    ...(none.length === 0
      ? []
      : [
          `Of ${count(none.length, 'row')} no claim is made: ${none.length === 1 ? 'it shows' : 'they show'} by how much a method misses where it does not fit, or what it would miss without its correction.`,
        ]),
  ];
}

export function nextOf(rows: readonly JudgedRow[]): string[] {
  const off = rows.some(({ standing, falseAlarms }) => standing === 'too-low' || falseAlarms === 'too-often');
  const open = rows.some(
    ({ standing, falseAlarms }) => standing === 'cannot-tell' || falseAlarms === 'cannot-tell',
  );
  return [
    ...(off
      ? ['Do not rest a decision on an interval that is listed as too sure; read it as too narrow.']
      : []),
    ...(open ? ['Draw more cohorts where a count is at an edge: --cohorts with a larger number.'] : []),
    'Look for the kind of cohort that is most like your own roster, and read its rows.',
  ];
}
