/** What goes into a table of coordinates. */
export interface NewCsvCapture {
  readonly rateHz: number;
  /** Number of the first frame; 1 unless given. */
  readonly firstFrame?: number;
  readonly labels: readonly string[];
  /** Named after each axis where it is given: `HEAD_x_mm`. */
  readonly unit?: 'm' | 'cm' | 'mm' | 'in';
  /** x, y, z of every point of every frame; NaN where it was not seen, which is written as an empty cell. */
  readonly coordinates: Float64Array | Float32Array;
}

/**
 * Writes a capture as a text table: a row for each frame, with its number, its time and x, y, z of every point. Numbers are in the
 * shortest form that reads back the same.
 *
 * @throws Error where the coordinates are no whole frames, the rate is not above 0, or a label would break the table
 * @example
 * writeCsvCapture({ rateHz: 100, labels: ['HEAD'], coordinates: Float64Array.of(1, 2, 3) })
 * // 'frame,time_s,HEAD_x,HEAD_y,HEAD_z\n1,0,1,2,3\n'
 */
export function writeCsvCapture(capture: NewCsvCapture): string {
  const { labels, coordinates, rateHz, firstFrame = 1, unit } = capture;
  const width = 3 * labels.length;
  const frames = width === 0 ? 0 : coordinates.length / width;
  if (!Number.isInteger(frames) || frames < 1)
    throw new Error(
      `writeCsvCapture: ${coordinates.length} coordinates are no whole frames of ${labels.length} points; give x, y, z of every point of every frame.`,
    );
  if (!(rateHz > 0)) throw new Error(`writeCsvCapture: a rate of ${rateHz} Hz; give a number above 0.`);
  const odd = labels.find((label) => /[",;\t\r\n]/.test(label) || label.trim() !== label || label === '');
  if (odd !== undefined)
    throw new Error(
      `writeCsvCapture: the label "${odd}" would break the table; give one without quotes, commas, semicolons, tabs and outer spaces.`,
    );
  const suffix = unit === undefined ? '' : `_${unit}`;
  const header = labels.flatMap((label) => ['x', 'y', 'z'].map((axis) => `${label}_${axis}${suffix}`));
  const lines = [['frame', 'time_s', ...header].join(',')];
  for (let frame = 0; frame < frames; frame++) {
    const cells: (string | number)[] = [frame + firstFrame, frame / rateHz];
    for (let i = frame * width; i < (frame + 1) * width; i++) {
      const value = coordinates[i]!;
      cells.push(Number.isNaN(value) ? '' : value);
    }
    lines.push(cells.join(','));
  }
  return `${lines.join('\n')}\n`;
}
