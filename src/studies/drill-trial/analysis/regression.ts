import { normalQuantile } from '../../../numerics/index.ts';
import {
  expectedShiftAfterSelection,
  expectedShiftOfGroup,
  moments,
  pureBetweenSd,
  reliability,
} from '../../../stats/index.ts';
import type { Resolution } from '../../shared/smallest-change.ts';
import type { Design } from '../input/design.ts';
import type { SwingGroup, TrialData } from '../input/trial-data.ts';
import { golferMeans } from './golfer-means.ts';

export interface Regression {
  /** Share of the spread of golfers' baseline means that is true difference between golfers. */
  readonly reliability: number;
  readonly rosterMean: number;
  readonly rosterGolfers: number;
  /** Whether the roster holds golfers who were not in the trial. */
  readonly rosterIsLarger: boolean;
  /** Empty where the one arm is the whole roster, so that there is nothing to lie off from. */
  readonly arms: readonly {
    readonly arm: string;
    readonly baselineMean: number;
    /** Expected change of the arm's mean with no drill at all. */
    readonly expectedShift: number;
  }[];
  /** Expected change of golfers chosen for lying in the lowest third at baseline (the highest third: minus this). */
  readonly lowestThirdShift: number;
}

/**
 * Regression to the mean: how far each arm's baseline lies from the roster it came from, how much of that is
 * expected to go away by itself, and how far golfers picked for a poor first value would come back. Text when the
 * spread of golfers and the noise cannot be told apart.
 */
export function analyseRegression(
  data: TrialData,
  rows: readonly SwingGroup[],
  design: Design,
  resolution: Resolution,
): Regression | string {
  const { typicalError } = resolution;
  if (typicalError === null)
    return "The noise of a golfer's baseline is not known, so regression to the mean cannot be sized.";
  const roster = rosterBaselines(data);
  const sample = moments([...roster.values()]);
  if (sample === null || sample.sd === null) return 'Fewer than two golfers have a full swing at baseline.';
  // The spread of the roster, not of the trial: golfers who were picked for their values spread less.
  const betweenSd = pureBetweenSd(sample.sd, typicalError ** 2);
  const share = reliability(betweenSd ** 2, typicalError ** 2);
  if (share === null) return 'Golfers do not differ at baseline, so nothing can regress.';
  const arms = [...design.drills, ...(design.control === null ? [] : [design.control])];
  const armOf = new Map(rows.map((row) => [row.golfer, row.arm]));
  const rosterIsLarger = [...roster.keys()].some((golfer) => !design.periods.has(golfer));
  const compared = rosterIsLarger || arms.length > 1 ? arms : [];
  return {
    reliability: share,
    rosterMean: sample.mean,
    rosterGolfers: sample.n,
    rosterIsLarger,
    arms: compared.flatMap((arm) => {
      const own = moments(
        [...roster].filter(([golfer]) => armOf.get(golfer) === arm).map(([, mean]) => mean),
      );
      if (own === null) return [];
      return [
        {
          arm,
          baselineMean: own.mean,
          expectedShift: expectedShiftOfGroup(own.mean, sample.mean, share),
        },
      ];
    }),
    lowestThirdShift: expectedShiftAfterSelection({
      betweenSd,
      withinSd: typicalError,
      mean: 0,
      cutoff: normalQuantile(1 / 3) * Math.sqrt(betweenSd ** 2 + typicalError ** 2),
      side: 'below',
    }),
  };
}

/** Baseline means of full swings of every golfer in the dataset, in the trial or not. */
function rosterBaselines(data: TrialData): Map<string, number> {
  const sessions = new Map(data.sessions.map((session) => [session.session, session]));
  const rows = data.swings.flatMap(({ session: id, task, measured }) => {
    const session = sessions.get(id);
    if (session?.phase !== 'baseline' || task !== 'full' || measured === null) return [];
    return [{ ...measured, golfer: session.golfer, session: id }];
  });
  const means = golferMeans(rows, () => 'baseline');
  return new Map([...means].map(([golfer, own]) => [golfer, own.get('baseline')!.mean]));
}
