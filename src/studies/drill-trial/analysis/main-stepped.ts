import type { Model } from '../../../stats/index.ts';
import type { Design } from '../input/design.ts';
import type { SwingGroup } from '../input/trial-data.ts';
import { attemptGroups } from './cell-model.ts';
import { effectOf, whenAsked } from './effect.ts';
import { golferMeans } from './golfer-means.ts';
import type { MainAnalysis, MainRequest } from './main-analysis.ts';
import { neverVaries, nothing, sameValue, smallSampleWords } from './no-analysis.ts';
import { ownChanges } from './own-changes.ts';

const MOST_WAVES = 6;

/**
 * A stepped start (Hussey and Hughes 2007, Contemp Clin Trials 28:182-191): swings on the calendar wave and on
 * whether the golfer had done the drill by then, with a level for each golfer, a response of his or her own where
 * the data carry it (Hemming, Taljaard and Forbes 2018, Trials 19:1-10), and sessions within a golfer.
 */
export function analyseStepped(rows: readonly SwingGroup[], request: MainRequest): MainAnalysis {
  const { design, outcome, level, degreesOfFreedom, near = null } = request;
  if (rows.length === 0) return nothing('No full swing was measured before or after the start.');
  if (neverVaries(rows)) return nothing(sameValue(rows));
  const waveOf = calendarWaves(design);
  const waves = [...new Set(rows.map((row) => waveOf(row.date)))].sort();
  const means = golferMeans(rows, (row) => row.phase);
  const both = [...means.values()].filter((own) => own.size === 2).length;
  const severalSessions = [...means.values()].filter((own) =>
    [...own.values()].some((cell) => cell.sessions > 1),
  ).length;
  const data = {
    golfer_id: rows.map((row) => row.golfer),
    session_id: rows.map((row) => row.session),
    wave: rows.map((row) => waveOf(row.date)),
    after_start: rows.map((row) => (row.phase === 'post' ? 1 : 0)),
  };
  const notes: string[] = [];
  const forms = [
    { response: true, sessions: true },
    { response: true, sessions: false },
    { response: false, sessions: true },
    { response: false, sessions: false },
  ].filter((form) => (both >= 5 || !form.response) && (severalSessions >= 3 || !form.sessions));
  for (const form of forms) {
    const model: Model = {
      outcome,
      distribution: 'normal',
      fixed: [
        'intercept',
        ...(waves.length > 1 ? [{ column: 'wave', levels: waves }] : []),
        { column: 'after_start' },
      ],
      random: [
        { group: 'golfer_id', effects: form.response ? ['intercept', 'after_start'] : ['intercept'] },
        ...(form.sessions ? [{ group: ['golfer_id', 'session_id'], effects: ['intercept' as const] }] : []),
      ],
      criterion: 'reml',
      inference: { degreesOfFreedom, level },
    };
    const fit = attemptGroups(model, data, rows, near);
    if (typeof fit === 'string') {
      notes.push(`A fuller model of the stepped start could not be used: ${fit}.`);
      continue;
    }
    const effect = effectOf(fit.combine({ fixed: { after_start: 1 } }, level));
    return {
      form: 'swings',
      words: `Every full swing before and after each golfer's own start counts. The calendar is cut into ${waves.length} ${waves.length === 1 ? 'wave' : 'waves'} at the starts, each with its own mean, so that what changed for everybody is not taken for the drill. Each golfer has a level of his or her own${form.response ? ' and a response of his or her own' : ''}${form.sessions ? '; sessions differ within a golfer' : ''}. Fitted by restricted maximum likelihood, with ${smallSampleWords(degreesOfFreedom)} degrees of freedom.`,
      objects: [model],
      effects: new Map(design.drills.map((arm) => [arm, effect])),
      used: new Set(rows),
      unusedWhy: '',
      notes: [...notes, ...fit.result.diagnosis.notes],
      boundary: fit.result.diagnosis.boundary,
      anyDifference: null,
      daysApart: form.sessions,
      golferChange: whenAsked(() => {
        const seen = form.response ? [...means].filter(([, own]) => own.size === 2) : [];
        const asked = seen.map(([golfer]) => {
          const random = [{ group: 'golfer_id', level: golfer, weights: { after_start: 1 } }];
          return [golfer, { fixed: { after_start: 1 }, random }] as const;
        });
        return ownChanges(fit, asked, level);
      }),
      fit,
    };
  }
  return nothing(
    `The start of the drill cannot be told from the passing of time in these data${notes.length > 0 ? ` (${notes.at(-1)})` : ''}.`,
  );
}

/**
 * The wave a date falls in: how many starts of the drill lie before it. More than six distinct starts are cut at
 * six of them, evenly spaced in rank, so that time does not eat up the data.
 */
export function calendarWaves(design: Design): (date: string) => string {
  const starts = [
    ...new Set(
      [...design.periods.values()].flatMap((list) =>
        list.filter((period) => period.arm !== design.control).map((period) => period.from),
      ),
    ),
  ].sort();
  const cuts =
    starts.length <= MOST_WAVES
      ? starts
      : Array.from(
          { length: MOST_WAVES },
          (_, i) => starts[Math.round((i * (starts.length - 1)) / (MOST_WAVES - 1))]!,
        );
  return (date) => `wave ${cuts.filter((cut) => cut < date).length + 1}`;
}
