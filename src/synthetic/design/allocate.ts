import type { Stream } from '../../numerics/index.ts';
import type { Design } from '../recipe/recipe.ts';
import type { Allocation } from './schedule.ts';

/**
 * Draw each golfer's allocation, balanced within the strata: the allocations a stratum is to have are laid out
 * in their proportions and dealt in random order.
 *
 * @param strata one stratum per golfer
 */
export function allocate(design: Design, strata: readonly string[], stream: Stream): Allocation[] {
  const result = new Array<Allocation>(strata.length);
  let dealt = 0;
  for (const stratum of [...new Set(strata)].sort()) {
    const members = stream.shuffle(strata.flatMap((other, at) => (other === stratum ? [at] : [])));
    for (const member of members) result[member] = turn(design, dealt++);
  }
  return result;
}

/** The allocation of the n-th golfer dealt. */
function turn(design: Design, n: number): Allocation {
  switch (design.kind) {
    case 'parallel': {
      // A control each time the running share of controls would otherwise fall behind.
      const control =
        Math.floor((n + 1) * design.controlShare + 1e-9) > Math.floor(n * design.controlShare + 1e-9);
      return { arms: [control ? 'control' : 'drill'], startsAfterWave: 0 };
    }
    case 'crossover':
      return { arms: n % 2 === 0 ? ['drill', 'control'] : ['control', 'drill'], startsAfterWave: 0 };
    case 'stepped-start':
      return {
        arms: ['drill'],
        startsAfterWave: design.startsAfterWave[n % design.startsAfterWave.length]!,
      };
    case 'roster':
      return { arms: [], startsAfterWave: 0 };
    case 'series': {
      const line = n % design.lines.length;
      const arms = design.lines[line]!.map(({ phase }) => (phase === 'training' ? 'drill' : 'control'));
      return { arms, startsAfterWave: 0, line };
    }
    case 'before-after':
      return { arms: ['drill'], startsAfterWave: 0 };
  }
}
