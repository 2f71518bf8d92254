import type { SingleCaseDesign } from './randomisation-test.ts';

/** Running sums of one series, so that the mean of any stretch costs two look-ups. */
interface Running {
  readonly length: number;
  readonly values: Float64Array;
  readonly seenInB: Float64Array;
}

/** The difference of a design's data (mean of B less mean of A) under any starts. */
export class PhaseDifference {
  /** The starts as they were: of the later phases, or of B in each series. */
  readonly seen: readonly number[];
  /** The largest distance of a value from the mean of its series. */
  readonly scale: number;
  private readonly series: readonly Running[];
  private readonly phases: boolean;

  constructor(design: SingleCaseDesign) {
    this.phases = design.kind === 'phases';
    this.seen = design.kind === 'phases' ? design.starts : design.series.map(({ start }) => start);
    const all =
      design.kind === 'phases'
        ? [{ values: design.values, starts: design.starts }]
        : design.series.map(({ values, start }) => ({ values, starts: [start] }));
    let scale = 0;
    this.series = all.map(({ values, starts }) => {
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      const running = new Float64Array(values.length + 1);
      const seenInB = new Float64Array(values.length + 1);
      values.forEach((value, i) => {
        scale = Math.max(scale, Math.abs(value - mean));
        running[i + 1] = running[i]! + value - mean;
        seenInB[i + 1] = seenInB[i]! + (starts.filter((start) => start <= i).length % 2);
      });
      return { length: values.length, values: running, seenInB };
    });
    this.scale = scale;
  }

  ofValues(starts: readonly number[]): number {
    return this.difference(starts, 'values');
  }

  /** The same for a series that is 1 on the occasions that were in B and 0 on the others. */
  ofSeenPhases(starts: readonly number[]): number {
    return this.difference(starts, 'seenInB');
  }

  private difference(starts: readonly number[], what: 'values' | 'seenInB'): number {
    if (this.phases) return differenceIn(this.series[0]!, starts, 0, starts.length, what);
    let sum = 0;
    for (let i = 0; i < this.series.length; i++) sum += differenceIn(this.series[i]!, starts, i, i + 1, what);
    return sum / this.series.length;
  }
}

/** Mean of B less mean of A where the phases begin at starts[from .. to - 1]. */
function differenceIn(
  running: Running,
  starts: readonly number[],
  from: number,
  to: number,
  what: 'values' | 'seenInB',
): number {
  const sums = running[what];
  let sumB = 0;
  let countB = 0;
  for (let i = from; i < to; i += 2) {
    const start = starts[i]!;
    const end = i + 1 < to ? starts[i + 1]! : running.length;
    sumB += sums[end]! - sums[start]!;
    countB += end - start;
  }
  return sumB / countB - (sums[running.length]! - sumB) / (running.length - countB);
}
