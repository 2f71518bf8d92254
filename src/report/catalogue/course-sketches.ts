import { distance, dot, guide, line, type Point, type Sketch, word } from './sketch.ts';

const SIZE = { width: 328, height: 236 };
const [LEFT, RIGHT, FLOOR] = [56, 306, 186];

/** A smooth course through values at shares of the downswing, 0 at the top and 1 at impact. */
function course(knots: readonly (readonly [number, number])[], share: number): number {
  const after = Math.max(
    1,
    knots.findIndex(([at]) => at >= share),
  );
  const [a, b] = [knots[after - 1]!, knots[after]!];
  const t = (share - a[0]) / (b[0] - a[0]);
  return a[1] + (b[1] - a[1]) * t * t * (3 - 2 * t);
}

/** The share of the downswing at which a course that falls from its peak to impact passes a level. */
function fallsTo(knots: readonly (readonly [number, number])[], level: number): number {
  let [early, late] = [knots[1]![0], 1];
  for (let k = 0; k < 40; k++) {
    const share = (early + late) / 2;
    if (course(knots, share) > level) early = share;
    else late = share;
  }
  return late;
}

const across = (share: number): number => LEFT + share * (RIGHT - LEFT);
const up = (value_deg: number): number => FLOOR - value_deg * 1.3;

function curve(knots: readonly (readonly [number, number])[]): string {
  const points = Array.from({ length: 101 }, (_, k): Point => [across(k / 100), up(course(knots, k / 100))]);
  return line(points, { width: 2.6 });
}

function axes(name: string): string {
  return (
    line(
      [
        [LEFT, 30],
        [LEFT, FLOOR],
        [RIGHT, FLOOR],
      ],
      { ink: 'soft', width: 1.2 },
    ) +
    word(name, [LEFT - 6, 20], { ink: 'soft' }) +
    word('top', [LEFT, FLOOR + 18], { at: 'middle' }) +
    word('impact', [RIGHT, FLOOR + 18], { at: 'end' })
  );
}

/** The bend of the trail elbow over the downswing, and what is read off it. */
export function elbowCourseSketch(): Sketch {
  const knots = [
    [0, 84],
    [0.16, 98],
    [1, 26],
  ] as const;
  const [peak, parallel, onset] = [0.16, 0.62, fallsTo(knots, 84 - 5)];
  const parallelY = up(course(knots, parallel));
  return {
    ...SIZE,
    id: 'drawing-elbow-course',
    title: 'The elbow from the top to impact',
    description:
      'A made-up course of the trail elbow bend from the top to impact: it grows a little, then falls. Recoil is the largest bend minus the bend at the top; the transition change is the bend at lead arm parallel minus the bend at the top; the onset of extension is where the bend has fallen below its value at the top by a set amount; the peak extension speed is the steepest fall.',
    marks: [
      axes('bend, deg'),
      guide([
        [LEFT, up(84)],
        [across(0.8), up(84)],
      ]),
      curve(knots),
      distance([across(peak), up(84)], [across(peak), up(98)], 'recoil', [38, -12]),
      distance([across(parallel), up(84)], [across(parallel), parallelY], 'change', [32, -4]),
      line(
        [
          [LEFT, FLOOR - 16],
          [across(onset), FLOOR - 16],
        ],
        { ink: 'third', width: 2, arrow: true },
      ),
      guide([
        [across(onset), up(course(knots, onset))],
        [across(onset), FLOOR],
      ]),
      guide([
        [across(parallel), parallelY],
        [across(parallel), FLOOR],
      ]),
      dot([across(onset), up(course(knots, onset))], 4, 'third'),
      word('onset', [across(onset / 2), FLOOR - 24], { at: 'middle', ink: 'third', bold: true }),
      word('lead arm parallel', [across(parallel), FLOOR + 36], { at: 'middle' }),
      dot([across(0.58), up(course(knots, 0.58))], 4, 'ink'),
      word('peak speed', [across(0.67), up(56)]),
    ],
  };
}

/** Lag over the downswing and the onset of release. */
export function lagCourseSketch(): Sketch {
  const knots = [
    [0, 84],
    [0.4, 100],
    [1, 18],
  ] as const;
  const onset = fallsTo(knots, 0.9 * 100);
  const y = up(course(knots, onset));
  return {
    ...SIZE,
    id: 'drawing-lag-course',
    title: 'Lag from the top to impact, and the release',
    description:
      'A made-up course of the lag angle from the top to impact: it grows to a peak, then falls. Release onset is where it has dropped by a tenth of its peak; it is told as a time before impact and as a share of the downswing.',
    marks: [
      axes('lag, deg'),
      guide([
        [across(0.4), up(100)],
        [across(0.85), up(100)],
      ]),
      guide([
        [across(0.4), y],
        [across(0.85), y],
      ]),
      curve(knots),
      dot([across(onset), y], 4, 'control'),
      guide([
        [across(onset), y],
        [across(onset), FLOOR],
      ]),
      distance([RIGHT, FLOOR - 44], [across(onset), FLOOR - 44], 'release onset', [-5, 18]),
      line(
        [
          [LEFT, FLOOR - 16],
          [across(onset), FLOOR - 16],
        ],
        { ink: 'third', width: 2, arrow: true },
      ),
      word('timing, %', [across(onset / 2), FLOOR - 24], { at: 'middle', ink: 'third', bold: true }),
      word('peak', [across(0.4), up(100) - 8], { at: 'middle' }),
      word('90% of peak', [RIGHT, y + 16], { at: 'end', ink: 'soft' }),
    ],
  };
}
