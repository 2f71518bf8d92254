import Papa from 'papaparse';
import type { Capture } from '../capture.ts';
import type { CaptureProblem, CaptureResult } from '../problem.ts';
import { type ColumnPlan, planColumns } from './columns.ts';

const MOST_PROBLEMS = 20;
/** Frame numbers may skip (frames in which nothing was seen), but not make up most of a file. */
const MOST_SKIPPED = 20;
const UNEVEN = 0.02;

/** Whether a file starts as text: no zero byte and no control character in its first kilobyte. */
export function looksLikeText(bytes: Uint8Array): boolean {
  for (const byte of bytes.subarray(0, 1024)) if (byte < 9 || (byte > 13 && byte < 32)) return false;
  return bytes.length > 0;
}

/**
 * Reads a table of coordinates: comma, semicolon or tab, decimal point or (beside semicolons) decimal comma, wide or
 * long, any order of columns. Empty cells, NaN and NA are points not seen; any other text in a number is a
 * problem with its line and column. The sampling rate comes from a time column where there is one.
 *
 * @example
 * const read = readCsvCapture(new TextEncoder().encode('time_s,C7_x,C7_y,C7_z\n0,1,2,3\n0.01,1,2,4\n'));
 * read.ok && read.value.capture.labels // ['C7']
 * read.ok && read.value.capture.rateHz // 100
 */
export function readCsvCapture(
  bytes: Uint8Array,
): CaptureResult<{ readonly capture: Capture; readonly warnings: readonly string[] }> {
  const text = new TextDecoder().decode(bytes).replace(/^\uFEFF/, '');
  const { data, meta } = Papa.parse<string[]>(text, { skipEmptyLines: false });
  const [header, ...rows] = data;
  if (!header || rows.every((row) => row.every((cell) => cell.trim() === '')))
    return { ok: false, problems: [empty(header !== undefined && text.trim() !== '')] };
  const plan = planColumns(header);
  if (Array.isArray(plan)) return { ok: false, problems: plan };
  return new Reading(plan as ColumnPlan, header, rows, meta.delimiter).result();
}

class Reading {
  private readonly plan: ColumnPlan;
  private readonly header: readonly string[];
  private readonly rows: readonly (readonly string[])[];
  private readonly decimalComma: boolean;
  private readonly problems: CaptureProblem[] = [];
  private readonly warnings: string[] = [];

  constructor(
    plan: ColumnPlan,
    header: readonly string[],
    rows: readonly (readonly string[])[],
    delimiter: string,
  ) {
    this.plan = plan;
    this.header = header;
    this.rows = rows;
    this.decimalComma = delimiter === ';';
  }

  result(): CaptureResult<{ readonly capture: Capture; readonly warnings: readonly string[] }> {
    const placed = this.placeRows();
    if (!placed) return { ok: false, problems: this.limited() };
    const { lines, frames, firstFrame, rateHz } = placed;
    const { plan } = this;
    const labels = plan.label === null ? plan.markers.map((m) => m.label) : this.labelsOfRows();
    const coordinates = new Float64Array(frames * labels.length * 3).fill(Number.NaN);
    const placeOf = new Map(labels.map((label, i) => [label, i]));
    const seen = new Set<number>();
    for (const { line, frame } of lines) {
      const row = this.rows[line]!;
      plan.markers.forEach((marker, m) => {
        const index = plan.label === null ? m : placeOf.get(row[plan.label]!.trim())!;
        const at = frame * labels.length + index;
        if (seen.has(at))
          this.fault(line, plan.label ?? 0, 'this marker of this frame a second time', 'it once');
        seen.add(at);
        const values = marker.columns.map((column) => this.number(line, column));
        if (!values.some((v) => v === null || Number.isNaN(v))) coordinates.set(values as number[], 3 * at);
      });
    }
    if (this.problems.length > 0) return { ok: false, problems: this.limited() };
    const capture: Capture = {
      encoding: 'text',
      byteOrder: 'none',
      rateHz,
      firstFrame,
      frames,
      labels,
      unit: plan.unit,
      coordinates,
      residuals: null,
      events: [],
      analog: null,
    };
    return { ok: true, value: { capture, warnings: this.warnings } };
  }

  /** The frame of every row that holds something, counted from 0, and the rate. */
  private placeRows(): {
    lines: { line: number; frame: number }[];
    frames: number;
    firstFrame: number;
    rateHz: number | null;
  } | null {
    const { plan, rows } = this;
    const filled = rows.flatMap((row, line) => (row.some((cell) => cell.trim() !== '') ? [line] : []));
    const read = (column: number): (number | null)[] =>
      filled.map((line) => {
        const value = this.number(line, column);
        if (Number.isNaN(value)) this.fault(line, column, 'nothing', 'a number in every row');
        return value;
      });
    const numbers = plan.frame === null ? null : read(plan.frame);
    const times = plan.time === null ? null : read(plan.time.index);
    if (this.problems.length > 0) return null;
    const distinct = times ? [...new Set(times as number[])].sort((a, b) => a - b) : null;
    const rateHz = distinct && plan.time ? this.rateOf(distinct, plan.time.perSecond) : null;
    if (!rateHz)
      this.warnings.push('The table does not tell its sampling rate: give it in the layout as rateHz.');
    let frames: number[];
    let firstFrame = 1;
    if (numbers) {
      firstFrame = Math.min(...(numbers as number[]));
      frames = (numbers as number[]).map((n) => n - firstFrame);
      filled.forEach((line, i) => {
        if (!Number.isInteger(numbers[i])) this.fault(line, plan.frame!, `${numbers[i]}`, 'a whole number');
      });
    } else if (distinct && times && plan.label !== null) {
      const place = new Map(distinct.map((t, i) => [t, i]));
      frames = (times as number[]).map((t) => place.get(t)!);
    } else frames = filled.map((_, i) => i);
    const count = frames.reduce((most, f) => Math.max(most, f), 0) + 1;
    if (this.problems.length > 0) return null;
    if (count > MOST_SKIPPED * filled.length) {
      this.fault(
        filled.at(-1)!,
        plan.frame!,
        `frame ${count - 1 + firstFrame} after ${filled.length} rows`,
        'frames that follow each other',
      );
      return null;
    }
    return {
      lines: filled.map((line, i) => ({ line, frame: frames[i]! })),
      frames: count,
      firstFrame,
      rateHz,
    };
  }

  private rateOf(times: readonly number[], perSecond: number): number | null {
    if (times.length < 2) return null;
    const steps = times.slice(1).map((t, i) => (t - times[i]!) / perSecond);
    const sorted = [...steps].sort((a, b) => a - b);
    const usual = sorted[sorted.length >> 1]!;
    const uneven = steps.filter((step) => Math.abs(step - usual) > UNEVEN * usual).length;
    if (uneven > 0)
      this.warnings.push(
        `${uneven} steps of the time column differ from the usual ${(usual * 1000).toFixed(3)} ms; rows were taken as evenly spaced.`,
      );
    // The whole span over the number of steps keeps more digits than one step of a rounded column.
    const span = (times[times.length - 1]! - times[0]!) / perSecond;
    return uneven === 0 ? steps.length / span : 1 / usual;
  }

  private labelsOfRows(): string[] {
    const labels = new Set<string>();
    for (const row of this.rows) {
      const label = row[this.plan.label!]?.trim();
      if (label) labels.add(label);
    }
    return [...labels];
  }

  /** NaN for a missing value; null and a problem for text that is no number. */
  private number(line: number, column: number): number | null {
    const cell = (this.rows[line]![column] ?? '').trim();
    if (cell === '' || /^(nan|na|null|-)$/i.test(cell)) return Number.NaN;
    const value = Number(this.decimalComma ? cell.replace(',', '.') : cell);
    if (Number.isFinite(value)) return asRecorded(value);
    this.fault(line, column, `"${cell.slice(0, 40)}"`, 'a number, or nothing where the marker was not seen');
    return null;
  }

  private fault(line: number, column: number, found: string, expected: string): void {
    this.problems.push({
      where: `capture line ${line + 2}, column ${this.header[column]?.trim() ?? column + 1}`,
      found,
      expected,
      remedy: 'Correct the cell, or export the table again.',
    });
  }

  private limited(): CaptureProblem[] {
    const more = this.problems.length - MOST_PROBLEMS;
    if (more <= 0) return this.problems;
    const last = this.problems[MOST_PROBLEMS - 1]!;
    return [
      ...this.problems.slice(0, MOST_PROBLEMS - 1),
      { ...last, found: `${last.found}, and ${more} more problems` },
    ];
  }
}

/**
 * Capture systems keep single-precision numbers and print them with nine digits, the fewest that tell them apart.
 * Where a number is such a print, the single it came from is taken: it differs by less than half a unit of the
 * ninth digit, which is all that the text says.
 */
function asRecorded(value: number): number {
  const single = Math.fround(value);
  return single !== value && Number(single.toPrecision(9)) === value ? single : value;
}

function empty(hasHeader: boolean): CaptureProblem {
  return {
    where: 'capture line 1',
    found: hasHeader ? 'a header and no row' : 'an empty file',
    expected: 'a header and a row for each frame',
    remedy: 'Export the capture again.',
  };
}
