import type { Stream } from '../../numerics/index.ts';

/** The starts that were possible in one place of a multiple baseline, both ends included, as positions from 0. */
export type StartWindow = readonly [first: number, last: number];

/**
 * How a multiple-baseline design is drawn: every series has the window of its own place (`own`), or the series are
 * drawn to the windows and then each start within its window (`drawn`).
 */
export type WindowRule = 'own' | 'drawn';

const widthOf = ([first, last]: StartWindow) => last - first + 1;

/**
 * How many ways there are: the product of the numbers of starts, times N! where the series themselves are drawn to
 * the windows (Edgington and Onghena 2007; Koehler and Levin 1998, Psychol Methods 3:206-217).
 *
 * @example countStartingPoints([[4, 6], [8, 10], [12, 14]], 'drawn') // 162
 */
export function countStartingPoints(windows: readonly StartWindow[], rule: WindowRule): number {
  let ways = 1;
  windows.forEach((window, i) => {
    ways *= widthOf(window) * (rule === 'drawn' ? i + 1 : 1);
  });
  return ways;
}

/**
 * Calls `visit` with the start of each series, for every way. The array is the same each time and must not be kept.
 *
 * @example
 * const ways: number[][] = [];
 * eachStartingPoints([[4, 5], [8, 8]], 'drawn', (starts) => ways.push([...starts]));
 * ways // [[4, 8], [5, 8], [8, 4], [8, 5]]
 */
export function eachStartingPoints(
  windows: readonly StartWindow[],
  rule: WindowRule,
  visit: (starts: readonly number[]) => void,
): void {
  const starts = new Array<number>(windows.length);
  const taken = new Array<boolean>(windows.length).fill(false);
  const place = (series: number): void => {
    if (series === windows.length) {
      visit(starts);
      return;
    }
    windows.forEach((window, k) => {
      if (rule === 'own' ? k !== series : taken[k]) return;
      taken[k] = true;
      for (let start = window[0]; start <= window[1]; start++) {
        starts[series] = start;
        place(series + 1);
      }
      taken[k] = false;
    });
  };
  place(0);
}

/**
 * The start of each series in one way, each way equally likely.
 *
 * @example drawStartingPoints([[4, 4], [8, 8]], 'own', createStream(1)) // [4, 8]
 * @example drawStartingPoints([[4, 4], [8, 8]], 'drawn', createStream(1)).sort() // [4, 8]: whose window is whose is drawn
 */
export function drawStartingPoints(
  windows: readonly StartWindow[],
  rule: WindowRule,
  stream: Stream,
): number[] {
  const order = rule === 'drawn' ? stream.shuffle(windows) : windows;
  return order.map(([first, last]) => stream.integer(first, last));
}
