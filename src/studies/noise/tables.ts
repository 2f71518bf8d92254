import { moments } from '../../stats/index.ts';
import type { DeviceNoise, GolferNoise, NoisePart } from '../noise-tables.ts';
import { analyseNoise, type NoiseAnswer } from './analyse.ts';
import { type Basis, chooseBasis } from './basis.ts';
import { countsOf, type Valued } from './full-swings.ts';
import type { LikelihoodSds } from './likelihood.ts';
import { nested } from './sensitivity.ts';

export function golferTable(rows: readonly Valued[]): GolferNoise[] {
  const golfers = new Map<string, Valued[]>();
  for (const row of rows) {
    const own = golfers.get(row.golfer);
    if (own === undefined) golfers.set(row.golfer, [row]);
    else own.push(row);
  }
  return [...golfers].map(([golfer, own]) => {
    const sessions = new Set(own.map(({ session }) => session));
    const answer = analyseNoise(nested(own), { sessions: 1, swings: 1 }, 0.95);
    return {
      golfer,
      sessions: sessions.size,
      swings: own.length,
      mean: moments(own.map(({ value }) => value))!.mean,
      swingSd: answer.noise.value === null ? null : Math.sqrt(answer.noise.value.value),
    };
  });
}

/** Each device's own noise, from the same phases as far as it has them. */
export function deviceTable(full: readonly Valued[], kind: Basis['kind']): DeviceNoise[] {
  const names = [...new Set(full.map(({ device }) => device))].sort();
  return names.map((device) => {
    const own = full.filter((row) => row.device === device);
    const { rows, shared } = chooseBasis({
      swings: own,
      arms: new Map(),
      controls: new Set(),
    });
    const answer = analyseNoise(nested(rows), { sessions: 1, swings: 1 }, 0.95, shared);
    return {
      device,
      ...countsOf(rows),
      swingSd: answer.swingSd?.value ?? null,
      sessionSd: kind === 'one-session' ? null : (answer.sessionSd?.value ?? null),
    };
  });
}

export function partTable(answer: NoiseAnswer, likelihood: LikelihoodSds | null): NoisePart[] {
  const parts = [
    ['golfer', answer.golferSd, likelihood?.golfer, likelihood?.golferInterval],
    ['session', answer.sessionSd, likelihood?.session, likelihood?.sessionInterval],
    ['swing', answer.swingSd, likelihood?.swing, likelihood?.swingInterval],
  ] as const;
  const whole = parts.reduce((sum, [, size]) => sum + (size?.value ?? 0) ** 2, 0);
  return parts.map(([part, size, likelihoodSd, likelihoodInterval]) => ({
    part,
    sd: size?.value ?? null,
    interval: size?.interval ?? null,
    share: size === null || !(whole > 0) ? null : size.value ** 2 / whole,
    likelihoodSd: likelihoodSd ?? null,
    likelihoodInterval: likelihoodInterval ?? null,
  }));
}
