import { type Layout, type MeasureOptions, measureTrial } from '../../src/kinematics/index.ts';
import { plantedMetrics, plantSwing } from './planted-swing.ts';
import { PLAIN_LAYOUT, recordSwing } from './record-swing.ts';

export interface NoisySwings {
  readonly swings: number;
  readonly noise_m: number;
  readonly rateHz?: number;
  readonly firstSeed?: number;
  readonly layout?: Partial<Layout>;
  readonly options?: MeasureOptions;
}

/** Of one column over the swings: measured less planted, and the standard deviation that was stated. */
export interface Recovered {
  readonly errors: number[];
  readonly stated: number[];
}

/**
 * Records the planted swing again and again, with new noise in every coordinate and the frames falling differently each
 * time, and measures each recording. Beside the metric columns there is `impact_ms`, the moment of impact.
 */
export function recoverPlanted(given: NoisySwings): ReadonlyMap<string, Recovered> {
  const { swings, noise_m, rateHz = 240, firstSeed = 1, layout = {}, options = {} } = given;
  const swing = plantSwing();
  const truth = plantedMetrics(swing);
  const columns = [...Object.keys(truth), 'impact_ms'];
  const recovered = new Map<string, Recovered>(columns.map((c) => [c, { errors: [], stated: [] }]));
  const add = (column: string, error: number, stated: number): void => {
    recovered.get(column)!.errors.push(error);
    recovered.get(column)!.stated.push(stated);
  };
  for (let seed = firstSeed; seed < firstSeed + swings; seed++) {
    const { named, start_s } = recordSwing(swing, { rateHz, noise_m, seed, phase: (seed * 0.618) % 1 });
    const result = measureTrial(named, { ...PLAIN_LAYOUT, ...layout }, 0, { ...options, columnsOnly: true });
    if (!result.ok) throw new Error(JSON.stringify(result.problems));
    const { swing: numbers, instantDetails } = result.value;
    for (const [column, value] of Object.entries(truth))
      add(column, numbers[column]! - value, numbers[`${column}_sd`]!);
    const { frame, sd_s } = instantDetails.impact!;
    add('impact_ms', (start_s + frame / rateHz) * 1000, sd_s * 1000);
  }
  return recovered;
}

export const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);

export const standardised = ({ errors, stated }: Recovered): number[] =>
  errors.map((error, i) => error / stated[i]!);

/** Share of the swings in which the truth lies within 1.96 stated standard deviations. */
export const coverage = (recovered: Recovered): number =>
  standardised(recovered).filter((z) => Math.abs(z) < 1.96).length / recovered.errors.length;
