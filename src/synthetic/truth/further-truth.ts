import type { Teaching } from '../model/teaching.ts';
import type { Participant } from '../participant.ts';
import type { Recipe } from '../recipe/recipe.ts';
import { settingOf } from '../setting.ts';
import { linearColumns } from './linear-columns.ts';
import { type ByColumn, clean, varianceParts } from './population-truth.ts';

/** What the instructors of a cohort do to their pupils by post, over and above what all pupils gain. */
export interface TeachingTruth {
  /** The metric in which it was planted; the effects on other columns follow by the paths. */
  readonly metric: string;
  /** SD between instructors in the population they were drawn from. */
  readonly sd: number;
  /** Gain in that metric for each stroke of handicap, whoever teaches. */
  readonly gainPerStroke: number;
  readonly instructors: readonly {
    readonly instructor_id: string;
    readonly pupils: number;
    readonly meanHandicap: number;
    /** Effect in the planted metric, in its unit; the mean of the population of instructors is 0. */
    readonly effect: number;
    /** 1: the largest effect. Without differences all share rank 1. */
    readonly rank: number;
  }[];
}

export function teachingTruth(
  { teaching, roster }: Recipe,
  taught: Teaching | null,
  participants: readonly Participant[],
): TeachingTruth | null {
  if (teaching === undefined || taught === null) return null;
  const effects = [...taught.effects];
  return {
    metric: teaching.metric,
    sd: teaching.effectSd,
    gainPerStroke: teaching.gainPerStroke,
    instructors: effects.slice(0, roster.instructors).map(([instructor_id, effect]) => {
      const pupils = participants.filter(({ instructor }) => instructor === instructor_id);
      return {
        instructor_id,
        pupils: pupils.length,
        meanHandicap: clean(pupils.reduce((sum, { golfer }) => sum + golfer.handicap, 0) / pupils.length),
        effect: clean(effect),
        rank: 1 + effects.filter(([, other]) => other > effect).length,
      };
    }),
  };
}

/** What a device's values are made of, for each column. Variances in the column's unit squared, on full swings at baseline. */
export interface DeviceTruth {
  readonly name: string;
  /** Its mean less the true mean. */
  readonly bias: ByColumn<number>;
  readonly components: ByColumn<{
    readonly golfer: number;
    /** The day's form, the same for all devices on one day. */
    readonly sessionForm: number;
    /** This device's error of placement in a visit. */
    readonly sessionPlacement: number;
    /** From swing to swing, the same for all devices that saw the swing. */
    readonly swingTrue: number;
    /** This device's error in a single value. */
    readonly swingError: number;
    /** Standard error of measurement of one swing against the golfer's other swings of that visit, and of any visit. */
    readonly semSameVisit: number;
    readonly semAnyVisit: number;
  }>;
}

/** How two devices truly differ, in the unit of each column. */
export interface DevicesTruth {
  readonly pairing: 'same-swings' | 'alternate-visits';
  readonly devices: readonly DeviceTruth[];
  /** The second device less the first on one and the same swing: mean, and SD over visits and swings. */
  readonly difference: { readonly mean: ByColumn<number>; readonly sd: ByColumn<number> };
}

export function devicesTruth(recipe: Recipe): DevicesTruth | null {
  if (recipe.devices === undefined) return null;
  const columns = linearColumns(recipe, settingOf(recipe).model);
  const parts = varianceParts(recipe);
  const by = (value: (column: (typeof columns)[number]) => number) =>
    Object.fromEntries(columns.map((column) => [column.column, clean(value(column))]));
  const biasOf = (bias: ByColumn<number>, { parts: sum }: (typeof columns)[number]) =>
    Object.entries(sum).reduce((total, [metric, factor]) => total + factor * (bias[metric] ?? 0), 0);
  const [first, second] = recipe.devices.list;
  const errors = first!.errorFactor ** 2 + second!.errorFactor ** 2;
  return {
    pairing: recipe.devices.pairing,
    devices: recipe.devices.list.map(({ name, bias, errorFactor }) => ({
      name,
      bias: by((column) => biasOf(bias, column)),
      components: Object.fromEntries(
        columns.map((column) => {
          const { golfer, form, placement, swing, measurement } = parts(column);
          const [own, single] = [errorFactor ** 2 * placement, errorFactor ** 2 * measurement];
          return [
            column.column,
            {
              golfer: clean(golfer),
              sessionForm: clean(form),
              sessionPlacement: clean(own),
              swingTrue: clean(swing),
              swingError: clean(single),
              semSameVisit: clean(Math.sqrt(swing + single)),
              semAnyVisit: clean(Math.sqrt(form + own + swing + single)),
            },
          ];
        }),
      ),
    })),
    difference: {
      mean: by((column) => biasOf(second!.bias, column) - biasOf(first!.bias, column)),
      sd: by((column) => {
        const { placement, measurement } = parts(column);
        return Math.sqrt(errors * (placement + measurement));
      }),
    },
  };
}

/** What was planted in a series of sessions of few golfers. The change itself stands in `golfers[].drillEffect`. */
export interface SeriesTruth {
  readonly autocorrelation: number;
  readonly leftAfterWithdrawal: number;
  readonly golfers: readonly {
    readonly golfer_id: string;
    readonly stretches: readonly { readonly phase: string; readonly sessions: number }[];
    /** Level of a training session less that of a baseline session, trend apart. */
    readonly change: ByColumn<number>;
    /** What practice adds from each session to the next. */
    readonly trendPerSession: ByColumn<number>;
  }[];
}

export function seriesTruth(
  { design }: Recipe,
  participants: readonly Participant[],
  effects: (participant: Participant) => { change: ByColumn<number>; trend: ByColumn<number> },
): SeriesTruth | null {
  if (design.kind !== 'series') return null;
  return {
    autocorrelation: design.autocorrelation,
    leftAfterWithdrawal: design.leftAfterWithdrawal,
    golfers: participants.map((participant) => {
      const stretches = design.lines[participant.allocation.line!]!;
      const steps = Math.max(1, stretches.reduce((sum, { sessions }) => sum + sessions, 0) - 1);
      const { change, trend } = effects(participant);
      return {
        golfer_id: participant.id,
        stretches,
        change,
        trendPerSession: Object.fromEntries(
          Object.entries(trend).map(([column, whole]) => [column, clean(whole / steps)]),
        ),
      };
    }),
  };
}

/** Where curves differ between drill and control at post, and by how much. */
export interface CurveTruth {
  readonly quantity: string;
  /** The curves differ between these two, per cent of the downswing, and nowhere else. */
  readonly fromPct: number;
  readonly toPct: number;
  readonly peakPct: number;
  /** Mean difference at the peak, deg; a raised cosine falls from it to 0 at the ends. */
  readonly peakDifference_deg: number;
  /** SD over golfers of the difference at the peak, deg. */
  readonly peakDifferenceSd_deg: number;
}

/** null where no curves are made; an empty list where they differ nowhere. */
export function curveTruth({ curves }: Recipe): readonly CurveTruth[] | null {
  if (curves === undefined) return null;
  return Object.entries(curves).flatMap(([quantity, { window }]) =>
    window === undefined
      ? []
      : [
          {
            quantity,
            fromPct: window.fromPct,
            toPct: window.toPct,
            peakPct: (window.fromPct + window.toPct) / 2,
            peakDifference_deg: window.height,
            peakDifferenceSd_deg: window.heightSd,
          },
        ],
  );
}
