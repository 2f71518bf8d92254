import type { Finding, SpecificationCurve, SpecificationRow } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Axis, FigureLayout } from '../figure.ts';
import { formatChange } from '../numbers.ts';
import { colour } from '../palette.ts';
import { zoneShapes } from '../zone.ts';

const ROW_PX = { wide: 19, narrow: 34 } as const;
const CURVE_PX = 250;

export interface Line {
  readonly choice: string;
  readonly option: string;
  readonly words: string;
  /** Place in the lower panel, from the top. */
  readonly slot: number;
}

/** The options in the order of the choices, with a gap and a heading before each choice. */
export function linesOf(curve: SpecificationCurve): {
  lines: Line[];
  heads: { words: string; slot: number }[];
  slots: number;
} {
  const lines: Line[] = [];
  const heads: { words: string; slot: number }[] = [];
  let slot = 0;
  for (const choice of curve.choices) {
    heads.push({ words: choice.words, slot });
    slot += 1;
    for (const option of choice.options) {
      lines.push({ choice: choice.key, option: option.key, words: option.words, slot });
      slot += 1;
    }
    slot += 0.4;
  }
  return { lines, heads, slots: slot };
}

/** Two panels under one another, sharing the ranks: estimates above, what was chosen below. */
export function layoutOf(
  finding: Finding,
  curve: SpecificationCurve,
  rows: readonly SpecificationRow[],
  narrow: boolean,
): FigureLayout {
  const { lines, heads, slots } = linesOf(curve);
  const lower = Math.round(slots * ROW_PX[narrow ? 'narrow' : 'wide']);
  const whole = CURVE_PX + lower + 40;
  const left = narrow ? 0 : 0.4;
  const x: Axis = {
    range: [-0.8, rows.length - 0.2],
    tickvals: [],
    ticktext: [],
    showgrid: false,
    domain: [left, 1],
    anchor: 'y2',
  };
  const font = { size: 12.5, color: colour.ink } as const;
  const label = (text: string, slot: number, strong: boolean): Annotation => ({
    text: shortLabel(text, narrow ? 46 : 40),
    x: 0,
    y: slot,
    xref: 'paper',
    yref: 'y2',
    showarrow: false,
    xanchor: 'left',
    yanchor: narrow ? 'bottom' : 'middle',
    ...(narrow && !strong ? { yshift: 5 } : {}),
    font: strong ? { ...font, weight: 600 } : { ...font, color: colour.soft },
  });
  const values = rows.flatMap(({ value, interval }) => [value, ...interval]);
  const own = curve.scale.kind === 'unit' ? finding.smallestChange : unitZone(finding);
  return {
    xaxis: x,
    yaxis: {
      ...linearAxis([...values, 0, ...(own === null ? [] : [own.value, -own.value])], {
        ...(narrow ? {} : { title: scaleWords(curve) }),
        ticks: 5,
        format: formatChange,
      }),
      zeroline: true,
      domain: [(lower + 20) / whole, 1],
      anchor: 'x',
    },
    yaxis2: {
      range: [slots, -0.7],
      tickvals: lines.map(({ slot }) => slot),
      ticktext: lines.map(() => ''),
      showgrid: !narrow,
      domain: [0, lower / whole],
      anchor: 'x',
    },
    shapes: zoneShapes(own, 'y').map((shape) => ({ ...shape, xref: 'x domain' as const })),
    annotations: [
      ...heads.map(({ words, slot }) => label(capital(words), slot, true)),
      ...lines.map(({ words, slot }) => label(words, slot, false)),
    ],
    height: whole + (narrow ? 100 : 70),
    showlegend: true,
  };
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** What the upper panel is measured in; on a narrow screen the caption says it. */
export function scaleWords({ scale }: SpecificationCurve): string {
  if (scale.kind === 'smallest-change') return 'Times the smallest change that matters';
  return scale.unit === '' ? 'Estimate' : `Estimate, ${scale.unit === 'deg' ? 'degrees' : scale.unit}`;
}

function unitZone({ smallestChange }: Finding) {
  return smallestChange === null ? null : { ...smallestChange, value: 1 };
}
