import { describe, expect, it } from 'vitest';
import {
  armsOf,
  type Dataset,
  datasetFromRows,
  fitsSeal,
  type OpenedEntry,
  openFor,
  type SealedList,
  sealList,
  strataOf,
  stratumRules,
} from '../../src/dataset/index.ts';
import { blockedArms } from '../../src/dataset/plan-allocation/blocks.ts';
import { chiSquaredUpper, createStream } from '../../src/numerics/index.ts';

const ARMS = ['control', 'drill'];
const SEED = 8_214_007_315_529;

function golfers(count: number): Dataset {
  const rows = Array.from({ length: count }, (_, k) => ({
    golfer_id: `G${String(k + 1).padStart(2, '0')}`,
    plays: k % 5 === 0 ? ('left' as const) : ('right' as const),
    ...(k === 7 ? {} : { handicap_index: (k * 7) % 30 }),
  }));
  const made = datasetFromRows({ golfers: rows }, { mayBeEmpty: true });
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  return made.value;
}

const listFor = (dataset: Dataset, columns: readonly string[], seed = SEED): SealedList => {
  const rules = stratumRules(dataset, columns);
  const counts = new Map<string, number>();
  for (const stratum of strataOf(dataset, rules).values())
    counts.set(stratum, (counts.get(stratum) ?? 0) + 1);
  return sealList({ seed, trial: 'T1', arms: ARMS, rules, plan: 'ab'.repeat(32), counts });
};

const everybody = (dataset: Dataset, list: SealedList, seed = SEED) => {
  const strata = strataOf(dataset, list.rules);
  const outcome = openFor(list, seed, [...strata.keys()], strata, []);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.opened;
};

/** How likely counts as uneven as these are when all are equally likely. */
function pOfEvenness(counts: readonly number[]): number {
  const mean = counts.reduce((a, b) => a + b, 0) / counts.length;
  return chiSquaredUpper(
    counts.reduce((sum, n) => sum + (n - mean) ** 2 / mean, 0),
    counts.length - 1,
  );
}

function count(items: readonly string[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const item of items) counts.set(item, (counts.get(item) ?? 0) + 1);
  return counts;
}

describe('permuted blocks', () => {
  it('hold every arm equally often, whatever the seed, the arms and the length', () => {
    for (let seed = 0; seed < 300; seed++) {
      const arms = ['a', 'b', 'c', 'd'].slice(0, 2 + (seed % 3));
      for (const block of blockedArms(createStream(seed, 'x'), arms, 40)) {
        expect([1, 2, 3].map((times) => times * arms.length)).toContain(block.length);
        expect(new Set(count(block).values()).size).toBe(1);
        expect(count(block).size).toBe(arms.length);
      }
    }
  });

  it('are of each size, and in each order, equally often over seeds', () => {
    // Matts and Lachin 1988: sizes drawn with equal probability, all orders of a block equally likely.
    const first = Array.from({ length: 12_000 }, (_, seed) => armsOf(seed, ARMS, 'all', 12)[0]!);
    const bySize = [2, 4, 6].map((size) => first.filter((block) => block.length === size));
    expect(pOfEvenness(bySize.map(({ length }) => length))).toBeGreaterThan(0.001);
    // 2!/(1!1!) = 2, 4!/(2!2!) = 6 and 6!/(3!3!) = 20 orders.
    bySize.forEach((blocks, k) => {
      const orders = count(blocks.map((block) => block.join(' ')));
      expect(orders.size).toBe([2, 6, 20][k]);
      expect(pOfEvenness([...orders.values()])).toBeGreaterThan(0.001);
    });
  });

  it('leave no place of the list to be guessed from the seed next door', () => {
    const places = Array.from({ length: 12 }, (_, place) =>
      Array.from({ length: 4000 }, (_, seed) => armsOf(seed, ARMS, 'all', 12).flat()[place]!),
    );
    for (const arms of places) expect(pOfEvenness([...count(arms).values()])).toBeGreaterThan(0.001);
    const same = places.map((arms) => arms.slice(1).filter((arm, k) => arm === arms[k]).length);
    for (const alike of same) expect(pOfEvenness([alike, 3999 - alike])).toBeGreaterThan(0.001);
  });

  it('need two arms', () => {
    expect(() => blockedArms(createStream(1), ['drill'], 4)).toThrow('two arms or more');
  });
});

describe('strata', () => {
  it('are the values of a text, the sides of the middle of a number, or missing', () => {
    const dataset = golfers(10);
    const rules = stratumRules(dataset, ['handicap_index', 'plays']);
    // 0 7 14 21 28 5 12 - 26 3 in order: 0 3 5 7 12 14 21 26 28, the middle one 12.
    expect(rules).toEqual([
      { column: 'handicap_index', middle: 12 },
      { column: 'plays', middle: null },
    ]);
    const strata = strataOf(dataset, rules);
    expect(strata.get('G01')).toBe('handicap_index lower, plays left');
    expect(strata.get('G03')).toBe('handicap_index higher, plays right');
    expect(strata.get('G07')).toBe('handicap_index lower, plays right');
    expect(strata.get('G08')).toBe('handicap_index missing, plays right');
    expect(new Set(strataOf(dataset, []).values())).toEqual(new Set(['all']));
  });

  it('are level: the arms of a stratum never differ by more than three, nor at the end of a block', () => {
    for (let seed = 0; seed < 40; seed++) {
      const dataset = golfers(60);
      const list = listFor(dataset, ['handicap_index'], seed);
      const opened = everybody(dataset, list, seed);
      for (const { stratum } of list.strata) {
        const arms = opened.filter((entry) => entry.stratum === stratum).map(({ arm }) => arm);
        let lead = 0;
        const ends = new Set<number>();
        let end = 0;
        for (const block of armsOf(seed, ARMS, stratum, arms.length)) {
          end += block.length;
          ends.add(end);
        }
        arms.forEach((arm, k) => {
          lead += arm === 'drill' ? 1 : -1;
          expect(Math.abs(lead)).toBeLessThanOrEqual(3);
          if (ends.has(k + 1)) expect(lead).toBe(0);
        });
      }
    }
  });
});

describe('a sealed list', () => {
  const dataset = golfers(20);
  const list = listFor(dataset, ['plays']);
  const strata = strataOf(dataset, list.rules);

  it('is the same for the same seed, and another for another', () => {
    expect(listFor(dataset, ['plays'])).toEqual(list);
    expect(listFor(dataset, ['plays'], SEED + 1)).not.toEqual(list);
  });

  it('shows neither arms nor seed, and no two entries alike', () => {
    const seals = list.strata.flatMap((own) => own.seals);
    expect(new Set(seals).size).toBe(seals.length);
    for (const seal of seals) expect(seal).toMatch(/^[0-9a-f]{64}$/);
    expect(JSON.stringify(list)).not.toContain(String(SEED));
  });

  it('is opened one golfer at a time, in order, to the arms of the blocks', () => {
    const before: OpenedEntry[] = [];
    for (const golfer of strata.keys()) {
      const outcome = openFor(list, SEED, [golfer], strata, before);
      if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
      expect(outcome.opened.every((entry) => fitsSeal(list, entry))).toBe(true);
      before.push(...outcome.opened);
    }
    expect(before).toEqual(everybody(dataset, list));
    for (const { stratum, seals } of list.strata) {
      const own = before.filter((entry) => entry.stratum === stratum);
      expect(own.map(({ place }) => place)).toEqual(own.map((_, k) => k + 1));
      expect(own.map(({ arm }) => arm)).toEqual(
        armsOf(SEED, ARMS, stratum, seals.length).flat().slice(0, own.length),
      );
    }
  });

  const problemsOf = (golfer: string, before: readonly OpenedEntry[], seed = SEED) => {
    const outcome = openFor(list, seed, [golfer], strata, before);
    return outcome.ok ? [] : outcome.problems.map(({ where, found }) => `${where}: ${found}`);
  };
  const opened = everybody(dataset, list).slice(0, 6);

  it('refuses a golfer twice, a stranger, another seed, and an end', () => {
    expect(problemsOf('G01', opened)[0]).toContain('G01: an entry opened already');
    expect(problemsOf('G99', opened)[0]).toContain('G99: no such golfer');
    expect(problemsOf('G12', opened, SEED + 1)[0]).toContain(
      '--seed: a seed with which this list was not sealed',
    );
    const short = { ...list, strata: list.strata.map((own) => ({ ...own, seals: own.seals.slice(0, 2) })) };
    const outcome = openFor(short, SEED, ['G02', 'G03', 'G04'], strata, []);
    expect(outcome.ok ? '' : outcome.problems[0]?.found).toContain(
      'all 2 entries of the stratum plays right opened',
    );
    const later = new Map([...strata, ['G21', 'plays unknown']]);
    const stranger = openFor(list, SEED, ['G21'], later, opened);
    expect(stranger.ok ? '' : stranger.problems[0]?.found).toContain('a stratum the list does not have');
  });

  it('names an opened entry that was altered, passed over or doubled', () => {
    const [first, ...rest] = opened;
    for (const change of [
      { arm: first!.arm === 'drill' ? 'control' : 'drill' },
      { place: 5 },
      { stratum: 'plays right' },
      { salt: '0' },
    ]) {
      const altered = problemsOf('G12', [{ ...first!, ...change }, ...rest]);
      expect(altered.join(' ')).toContain('the entry of G01');
    }
    const right = opened.filter(({ stratum }) => stratum === 'plays right');
    expect(problemsOf('G12', right.slice(1))[0]).toContain('the entry at place 1 passed over');
    expect(problemsOf('G12', [...right, { ...right[1]!, golfer_id: 'G13' }])[0]).toContain(
      'place 3 opened twice',
    );
  });
});
