import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import { type ArmStyle, armStyles } from './arms.ts';
import { designWords } from './design-words.ts';

/** More golfers than this make a second figure, so that each fits a printed page. */
const mostPerFigure = 40;

/** An arm of more golfers than this is not drawn whole: nobody looks at hundreds of rows, and no browser holds thousands. */
const mostOfArm = 400;

/** Golfers of one arm, in order, under one heading. */
export interface GolferPart {
  readonly style: ArmStyle;
  readonly heading: string;
  readonly golfers: readonly GolferChange[];
}

/** A part with the places of its heading and its golfers, counted from the top. */
export interface GolferSection {
  readonly style: ArmStyle;
  readonly heading: string;
  readonly slot: number;
  readonly rows: readonly { readonly golfer: GolferChange; readonly slot: number }[];
}

/** The shrunken change, or the observed one where nothing could be shrunken. */
export function bestGuess({ shrunken, change }: GolferChange): number | null {
  return shrunken ?? change;
}

/** The golfers of an arm who have a change, from the most to the least in the good direction. */
export function orderedGolfers(finding: Finding<DrillTrialTables>, arm: string): GolferChange[] {
  const sign = finding.smallestChange?.goodDirection === -1 ? -1 : 1;
  return finding.tables.golfers
    .filter((golfer) => golfer.arm === arm && bestGuess(golfer) !== null)
    .map((golfer, place) => ({ golfer, place, key: sign * (bestGuess(golfer) as number) }))
    .sort((a, b) => b.key - a.key || a.place - b.place)
    .map(({ golfer }) => golfer);
}

/** What each figure shows: every arm in one where they fit, otherwise each arm by itself, in pieces. */
export function golferParts(finding: Finding<DrillTrialTables>): GolferPart[][] {
  const { golfersOf } = designWords(finding);
  const arms = armStyles(finding)
    .map((style) => ({ style, golfers: orderedGolfers(finding, style.arm) }))
    .filter(({ golfers }) => golfers.length > 0);
  const total = arms.reduce((sum, { golfers }) => sum + golfers.length, 0);
  if (total === 0) return [];
  if (total <= mostPerFigure) {
    return [
      arms.map(({ style, golfers }) => ({
        style,
        golfers,
        heading: `${golfersOf(style.label)} (${golfers.length})`,
      })),
    ];
  }
  return arms.flatMap(({ style, golfers }) =>
    golfers.length > mostOfArm
      ? [[evenlyThrough(style, golfers, golfersOf(style.label))]]
      : Array.from({ length: Math.ceil(golfers.length / mostPerFigure) }, (_, k) => {
          const some = golfers.slice(k * mostPerFigure, (k + 1) * mostPerFigure);
          const from = k * mostPerFigure + 1;
          const heading = `${golfersOf(style.label)} (${from} to ${from + some.length - 1} of ${golfers.length})`;
          return [{ style, golfers: some, heading }];
        }),
  );
}

/** As many golfers as a figure holds, evenly through the order of their change, the first and the last among them. */
function evenlyThrough(style: ArmStyle, golfers: readonly GolferChange[], name: string): GolferPart {
  const step = (golfers.length - 1) / (mostPerFigure - 1);
  return {
    style,
    golfers: Array.from({ length: mostPerFigure }, (_, k) => golfers[Math.round(k * step)]!),
    heading: `${name} (${mostPerFigure} of ${golfers.length}, evenly through their order; all are in golfers.csv)`,
  };
}

export function sectionsOf(parts: readonly GolferPart[]): GolferSection[] {
  let slot = 0;
  return parts.map(({ style, heading, golfers }) => {
    const from = slot;
    slot += golfers.length + 1.6;
    return { style, heading, slot: from, rows: golfers.map((golfer, k) => ({ golfer, slot: from + 1 + k })) };
  });
}
