import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { newFolder, snapshot, type } from './harness.ts';

const DEMO = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
const PLAN = join(DEMO, 'plan.json');
const SEED = '8214007315529';

describe('plan', () => {
  it('prints one document, the same every time, and writes the page', async () => {
    const words = ['plan', '--recipe', 'drill-parallel-effect', '--effect', '4', '--change', '1'];
    const quick = [...words, '--draws', '200', '--golfers', '20', '--swings', '6'];
    const out = await newFolder('report');
    const first = await type(...quick, '--json', '--out', out);
    expect(first.exit).toBe(0);
    const finding = JSON.parse(first.out);
    expect(finding).toMatchObject({ study: 'plan', planned: { planned: false } });
    expect(JSON.parse(await readFile(join(out, 'finding.json'), 'utf8'))).toEqual(finding);
    expect((await readdir(out)).sort()).toEqual([
      'estimates.csv',
      'finding.json',
      'grid-effect.svg',
      'grid-none.svg',
      'grid.csv',
      'plan.html',
    ]);
    const page = await readFile(join(out, 'plan.html'), 'utf8');
    expect(page.includes('--recipe drill-parallel-effect</span>')).toBe(true);
    expect(page.includes(out)).toBe(false);
    expect((await type(...quick, '--json')).out).toBe(first.out);
  }, 120_000);

  it('refuses words that make no sense, all at once, and ask plan with what to write instead', async () => {
    const odd = await type('plan', '--recipe', 'no-such', '--golfers', 'many', '--design', 'square');
    expect(odd.exit).toBe(2);
    for (const where of ['recipe', '--golfers', '--design']) expect(odd.err).toContain(where);
    const nothing = await type('plan');
    expect(nothing.exit).toBe(2);
    expect(nothing.err).toContain('--recipe, --data: found neither');
    const asked = await type('ask', 'plan', '--data', DEMO);
    expect(asked.exit).toBe(2);
    expect(asked.err).toContain('write: plan --recipe NAME');
  });
});

describe('lock, then ask', () => {
  it('seals before the first session, and the answer says so', async () => {
    const roster = await newFolder('roster');
    const locked = join(await newFolder('.'), 'locked.json');
    expect((await type('init', roster)).exit).toBe(0);
    const lock = await type('lock', '--plan', PLAN, '--data', roster, '--out', locked, '--json');
    expect(lock.exit).toBe(0);
    const { seal } = JSON.parse(lock.out);
    expect(seal).toMatch(/^[0-9a-f]{64}$/);
    const asked = await type(
      'ask',
      'drill-trial',
      '--data',
      DEMO,
      '--plan',
      locked,
      '--seal',
      seal,
      '--json',
    );
    expect(asked.exit).toBe(0);
    expect(JSON.parse(asked.out).planned).toMatchObject({ planned: true, timing: 'before-the-data' });

    const again = await type('lock', '--plan', locked, '--data', roster, '--out', `${locked}.2`);
    expect(again.err).toContain('locked already');
    const over = await type('lock', '--plan', PLAN, '--data', roster, '--out', locked);
    expect(over.exit).toBe(2);
    expect(over.err).toContain('nothing was written');

    const other = await type(
      'ask',
      'drill-trial',
      '--data',
      DEMO,
      '--plan',
      locked,
      '--seal',
      '0'.repeat(64),
    );
    expect(other.exit).toBe(2);
    expect(other.err).toContain('a plan with another seal');
    const short = await type('ask', 'drill-trial', '--data', DEMO, '--plan', locked, '--seal', 'abc');
    expect(short.err).toContain('at least its first 16 characters');
    const bare = await type('ask', 'drill-trial', '--data', DEMO, '--plan', PLAN, '--seal', seal);
    expect(bare.err).toContain('a plan that is not locked');
    const alone = await type('ask', 'drill-trial', '--data', DEMO, '--seal', seal);
    expect(alone.err).toContain('a seal without a plan');

    const text = await readFile(locked, 'utf8');
    const edited = `${locked}.edited.json`;
    await writeFile(edited, text.replace('"value": 1,', '"value": 0.5,'));
    const tampered = await type('ask', 'drill-trial', '--data', DEMO, '--plan', edited);
    expect(tampered.exit).toBe(2);
    expect(tampered.err).toContain('/plan/smallestChangeThatMatters/value: found 0.5');
  }, 60_000);

  it('with data that answer already there says that, and names what was altered since', async () => {
    const data = await newFolder('data');
    const locked = join(await newFolder('.'), 'locked.json');
    const { cp } = await import('node:fs/promises');
    await cp(DEMO, data, { recursive: true });
    expect((await type('lock', '--plan', PLAN, '--data', data, '--out', locked)).exit).toBe(0);
    const swings = join(data, 'swings.csv');
    const lines = (await readFile(swings, 'utf8')).split('\n');
    const id = lines[5]!.split(',')[0]!;
    await writeFile(swings, lines.filter((_, k) => k !== 5).join('\n'));
    const asked = await type('ask', 'drill-trial', '--data', data, '--plan', locked, '--json');
    const { planned } = JSON.parse(asked.out);
    expect(planned.timing).toBe('after-the-data');
    expect(planned.parts.at(-1)).toEqual({
      part: 'the data at the lock',
      state: 'changed',
      words: `swings.csv, ${id}: the row was there when the plan was locked and is gone.`,
    });
  }, 60_000);
});

describe('allocate', () => {
  it('seals a list, opens it one at a time, and alters nothing that is there', async () => {
    const list = await newFolder('list');
    const seal = ['allocate', '--data', DEMO, '--plan', PLAN, '--strata', 'handicap_index', '--seed', SEED];
    const sealed = await type(...seal, '--out', list, '--json');
    expect(sealed.exit).toBe(0);
    const before = await snapshot(list);
    const open = (golfer: string, seed = SEED) =>
      type('allocate', '--data', DEMO, '--open', list, '--seed', seed, '--golfer', golfer, '--json');
    const first = JSON.parse((await open('G05')).out);
    expect(first.opened).toHaveLength(1);
    expect((await open('G05')).err).toContain('an entry opened already');
    expect((await open('G06', '8214007315528')).err).toContain('a seed with which this list was not sealed');
    const rest = JSON.parse((await open('all')).out);
    expect(rest.opened).toHaveLength(35);
    for (const arms of Object.values<Record<string, number>>(rest.balance))
      expect(Math.abs(arms.control! - arms.drill!)).toBeLessThanOrEqual(3);
    expect((await open('all')).err).toContain('nobody left');
    expect(await snapshot(list)).toMatchObject(before);
    // The same seed seals the same list and opens it to the same arms.
    const twin = await newFolder('twin');
    expect(JSON.parse((await type(...seal, '--out', twin, '--json')).out).sha256).toBe(
      JSON.parse(sealed.out).sha256,
    );
    expect((await type(...seal, '--out', list)).exit).toBe(2);
  }, 60_000);

  it('refuses what cannot be allocated, and minds a seed that can be guessed', async () => {
    const out = await newFolder('list');
    const base = ['allocate', '--data', DEMO, '--out', out];
    const none = await type(...base, '--seed', 'x', '--plan', PLAN);
    expect(none.err).toContain('--seed');
    const column = await type(...base, '--seed', SEED, '--plan', PLAN, '--strata', 'shoe_size');
    expect(column.err).toContain('--strata: found "shoe_size"');
    const bare = await type('allocate', '--data', DEMO, '--seed', SEED);
    expect(bare.err).toContain('a plan that names the arms');
    const plan = join(await newFolder('.'), 'plan.json');
    await writeFile(
      plan,
      JSON.stringify({ study: 'drill-trial', question: 'q', metric: { column: 'club_speed_mps' } }),
    );
    expect((await type(...base, '--seed', SEED, '--plan', plan)).err).toContain('no control and drill');
    const short = await type(...base, '--seed', '7', '--plan', PLAN);
    expect(short.exit).toBe(0);
    expect(short.err).toContain('found by trying');
    expect(
      (await type('allocate', '--data', DEMO, '--seed', SEED, '--open', DEMO, '--golfer', 'G01')).exit,
    ).toBe(2);
  }, 60_000);
});
