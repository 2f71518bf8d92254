import type { Finding, InstructorRow, InstructorsTables } from '../../studies/index.ts';
import { linearAxis } from '../axis.ts';
import { shortLabel } from '../escape.ts';
import type { Annotation, Figure, FigureLayout, Trace } from '../figure.ts';
import { decimalsFor, formatChange, formatCount, formatLevel, inUnit, unitSuffix } from '../numbers.ts';
import { colour } from '../palette.ts';
import { instructorTable } from './tables.ts';

/** Each instructor's best guess with its interval; the rank and its interval beside it, where a rank means something. */
export function instructorFigure(finding: Finding<InstructorsTables>): Figure | null {
  const { instructors, ranked, noRanking } = finding.tables;
  if (instructors.length === 0) return null;
  const { unit, label } = finding.metric;
  const level = finding.estimates[0]?.level ?? 0.95;
  const decimals = decimalsFor(
    Math.max(...instructors.map(({ interval }) => interval[1] - interval[0])) / 10,
  );
  const say = ({ instructor, effect, interval, pupils, rank, rankInterval }: InstructorRow): string =>
    `${instructor} (${formatCount(pupils, 'pupil')}): ${formatChange(effect, decimals)}${unitSuffix(unit)}, ${formatChange(interval[0], decimals)} to ${formatChange(interval[1], decimals)}${rank === null ? '' : `, rank ${rank}, from ${rankInterval![0]} to ${rankInterval![1]}`}`;
  const trace: Trace = {
    type: 'scatter',
    mode: 'markers',
    name: 'best guess',
    x: instructors.map(({ effect }) => effect),
    y: instructors.map((_, i) => i),
    hovertext: instructors.map(say),
    marker: { color: colour.drill, size: 9, symbol: 'circle' },
    error_x: {
      type: 'data',
      symmetric: false,
      array: instructors.map(({ effect, interval }) => interval[1] - effect),
      arrayminus: instructors.map(({ effect, interval }) => effect - interval[0]),
      color: colour.drill,
      thickness: 2,
      width: 0,
    },
    showlegend: false,
  };
  const layout = (narrow: boolean): FigureLayout => ({
    xaxis: {
      ...linearAxis([0, ...instructors.flatMap(({ interval }) => interval)], {
        title: `Gain against the mean instructor${inUnit(unit)}`,
        ticks: narrow ? 4 : 6,
        format: formatChange,
      }),
      zeroline: true,
      showgrid: false,
      ...(narrow ? {} : { domain: ranked ? ([0.24, 0.76] as const) : ([0.24, 1] as const) }),
    },
    yaxis: { range: [instructors.length - 0.4, -0.8], tickvals: [], ticktext: [], showgrid: false },
    annotations: instructors.flatMap((row, i) => labels(row, i, narrow)),
    height: Math.round(instructors.length * (narrow ? 62 : 36) + 110),
    showlegend: false,
  });
  return {
    id: 'instructors',
    title: ranked ? 'Instructors in order, and how sure the order is' : 'Instructors, in order of name',
    caption: `Point: best guess of what an instructor adds, shrunken by how few the pupils are; line: ${formatLevel(level)} interval. ${ranked ? 'Beside each instructor: the middle rank, and the ranks that are as sure as the interval.' : (noRanking ?? '')}`,
    description: `${label}. ${instructors.map(say).join('. ')}.`,
    data: [trace],
    layout: layout(false),
    narrow: layout(true),
    table: instructorTable(finding),
  };
}

function labels(row: InstructorRow, place: number, narrow: boolean): Annotation[] {
  const base = { y: place, xref: 'paper', yref: 'y', showarrow: false } as const;
  const font = { size: 12.5, color: colour.ink } as const;
  const name = `${shortLabel(row.instructor, 22)} · ${formatCount(row.pupils, 'pupil')}`;
  const rank =
    row.rank === null ? '' : `rank ${row.rank} (${row.rankInterval![0]} to ${row.rankInterval![1]})`;
  if (narrow)
    return [
      {
        ...base,
        text: rank === '' ? name : `${name} · ${rank}`,
        x: 0,
        xanchor: 'left',
        yanchor: 'bottom',
        yshift: 9,
        font,
      },
    ];
  return [
    { ...base, text: name, x: 0, xanchor: 'left', yanchor: 'middle', font },
    ...(rank === ''
      ? []
      : [{ ...base, text: rank, x: 1, xanchor: 'right' as const, yanchor: 'middle' as const, font }]),
  ];
}
