import { createHash } from 'node:crypto';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  compareWithLock,
  type Dataset,
  datasetFromRows,
  type LockedPlan,
  loadPlan,
  lockedPlanText,
  lockPlan,
  type Plan,
} from '../../src/dataset/index.ts';
import { openLockedPlan } from '../../src/dataset/plan-lock/open-locked-plan.ts';
import { edited, inTempFolder, loadFiles, ROSTER } from './roster.ts';

const PLAN: Plan = {
  study: 'drill-trial',
  question: 'Does the towel drill lean the shaft further forward?',
  metric: { column: 'shaft_lean_impact_deg', version: '1' },
  design: 'parallel',
  arms: { control: 'usual', drill: ['towel', 'brush'] },
  smallestChangeThatMatters: { value: 2, why: 'Less cannot be seen in the strike.' },
  exclusions: [],
  stoppingRule: { words: 'After 40 golfers.', golfers: 40 },
  model: { degreesOfFreedom: 'kenward-roger' },
};
const FILES: Record<string, string> = {
  ...ROSTER,
  'practice.csv':
    'golfer_id,date,drill,reps\nG01,2026-03-10,towel,40\nG01,2026-03-10,towel,40\nG02,2026-03-11,towel,30\n',
};

async function dataset(changes: Record<string, string> = {}): Promise<Dataset> {
  const loaded = await loadFiles({ ...FILES, ...changes });
  if (!loaded.valid) throw new Error(JSON.stringify(loaded.problems));
  return loaded.value;
}

const LOCKED = lockPlan(PLAN, await dataset());
const plain = (): Record<string, never> => JSON.parse(lockedPlanText(LOCKED));

/** Every place in a JSON value that holds no other. */
function places(value: unknown, path: readonly string[] = []): (readonly string[])[] {
  const entries = typeof value === 'object' && value !== null ? Object.entries(value) : [];
  return entries.length === 0 ? [path] : entries.flatMap(([key, inner]) => places(inner, [...path, key]));
}

/** The value with what stands at a place put through `change`; `undefined` takes it away. */
function altered(value: unknown, path: readonly string[], change: (at: unknown) => unknown): unknown {
  const [key, ...rest] = path;
  if (key === undefined) return change(value);
  const copy = structuredClone(value) as Record<string, unknown>;
  const next = altered(copy[key], rest, change);
  if (next !== undefined) copy[key] = next;
  else if (Array.isArray(copy)) copy.splice(Number(key), 1);
  else delete copy[key];
  return copy;
}

const other = (value: unknown): unknown => {
  if (typeof value === 'number') return value + 1;
  if (typeof value === 'string')
    return /^[0-9a-f]{16,}$/.test(value) ? value.replace(/^./, (c) => (c === '0' ? '1' : '0')) : `${value} `;
  return value === null ? 'something' : Array.isArray(value) ? ['one more'] : { more: 1 };
};

/** The value whose edit a problem must name: a table counts as one, and so does a file. */
const named = (path: readonly string[]) =>
  `/${(path[0] === 'data' && (path[1] === 'tables' || path[1] === 'files') ? path.slice(0, 3) : path).join('/')}`;

describe('a locked plan', () => {
  it('has the SHA-256 of its canonical form as its seal', () => {
    // Worked out here without the project: keys sorted, no spaces (RFC 8785; all numbers in it are whole).
    const sorted = (value: unknown): unknown =>
      Array.isArray(value)
        ? value.map(sorted)
        : typeof value === 'object' && value !== null
          ? Object.fromEntries(
              Object.entries(value)
                .sort(([a], [b]) => (a < b ? -1 : 1))
                .map(([key, inner]) => [key, sorted(inner)]),
            )
          : value;
    const { seal, ...body } = plain();
    const text = JSON.stringify(sorted(body));
    expect(seal).toBe(createHash('sha256').update(text).digest('hex'));
  });

  it('opens as it was locked, whatever the spaces and the order of keys', async () => {
    const shuffled = Object.fromEntries(Object.entries(plain()).reverse());
    expect(openLockedPlan(shuffled)).toMatchObject({ valid: true, locked: LOCKED });
    await inTempFolder(async (folder) => {
      const file = join(folder, 'locked.json');
      await writeFile(file, JSON.stringify(shuffled, null, 3));
      expect(await loadPlan(file)).toMatchObject({ valid: true, plan: PLAN, locked: { seal: LOCKED.seal } });
    });
  });

  it('is the same for the same plan and data', async () => {
    expect(lockedPlanText(lockPlan(structuredClone(PLAN), await dataset()))).toBe(lockedPlanText(LOCKED));
  });

  it('counts what was there', () => {
    expect(LOCKED.data).toMatchObject({
      golfers: 2,
      newestDate: '2026-04-20',
      sessions: { baseline: 2, training: 0, post: 1, retention: 0 },
      swings: { baseline: 3, training: 0, post: 1, retention: 0 },
      metricValues: { baseline: 2, training: 0, post: 1, retention: 0 },
    });
    expect(LOCKED.data.files.map(({ file }) => file)).toEqual([
      'golfers.csv',
      'practice.csv',
      'sessions.csv',
      'swings.csv',
    ]);
  });

  it('is refused after any edit in plan or data, which is named', () => {
    const edits = places(plain()).filter(([part]) => part === 'plan' || part === 'data');
    expect(edits.length).toBeGreaterThan(60);
    for (const path of edits) {
      const opened = openLockedPlan(altered(plain(), path, other));
      expect(opened.valid, path.join('/')).toBe(false);
      const found = opened.problems.map(({ where }) => where);
      // A list that was empty and has an entry now is named by the entry.
      expect(
        found.some((where) => where.startsWith(named(path))),
        path.join('/'),
      ).toBe(true);
      for (const where of found)
        expect(where.startsWith(named(path)), `${path.join('/')}: ${where}`).toBe(true);
    }
  });

  it('is refused when something was taken away, which is named', () => {
    for (const path of [
      ['plan', 'smallestChangeThatMatters', 'value'],
      ['plan', 'stoppingRule', 'golfers'],
      ['data', 'tables', 'swings'],
      ['data', 'sessions', 'post'],
    ]) {
      const opened = openLockedPlan(altered(plain(), path, () => undefined));
      expect(opened.problems.map(({ where }) => where)).toContain(`/${path.join('/')}`);
      expect(opened.problems[0]?.found).toContain('taken away');
    }
  });

  it('is refused when something was added, which is named', () => {
    const level = openLockedPlan(altered(plain(), ['plan'], (plan) => ({ ...(plan as object), level: 0.9 })));
    expect(level.problems).toMatchObject([{ where: '/plan/level', found: expect.stringContaining('added') }]);
    const note = openLockedPlan({ ...plain(), note: 'made in March' });
    expect(note.problems).toMatchObject([{ where: '/note' }]);
  });

  it('is refused when its hashes or its seal were rewritten', () => {
    for (const path of places(plain()).filter(([part]) => part === 'fields')) {
      const opened = openLockedPlan(altered(plain(), path, other));
      expect(opened.problems.map(({ where }) => where)).toEqual([path[1]]);
    }
    const seal = openLockedPlan(altered(plain(), ['seal'], other));
    expect(seal.problems).toMatchObject([{ where: '/seal', found: expect.stringContaining('rewritten') }]);
    for (const part of ['kind', 'format', 'plan', 'data', 'fields', 'seal'])
      for (const change of [() => undefined, () => 7]) {
        const opened = openLockedPlan(altered(plain(), [part], change));
        expect(opened.problems.map(({ where }) => where)).toEqual([`/${part}`]);
      }
    expect(openLockedPlan([]).valid).toBe(false);
  });

  it('whose hashes were all rewritten to fit has another seal', () => {
    const rewritten = lockPlan({ ...PLAN, level: 0.9 }, { ...(EMPTY as Dataset) });
    expect(openLockedPlan(JSON.parse(lockedPlanText(rewritten))).valid).toBe(true);
    expect(rewritten.seal).not.toBe(LOCKED.seal);
  });

  it('must hold a plan that is one', () => {
    const locked = lockPlan({ ...PLAN, level: 95 }, EMPTY);
    expect(openLockedPlan(JSON.parse(lockedPlanText(locked))).problems).toMatchObject([
      { where: '/plan/level' },
    ]);
  });
});

const EMPTY = (() => {
  const made = datasetFromRows({}, { mayBeEmpty: true });
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  return made.value;
})();

describe('the data under a locked plan', () => {
  const changesWith = async (changes: Record<string, string>) =>
    compareWithLock(LOCKED, await dataset(changes)).changes;

  it('may grow, and may be written otherwise', async () => {
    expect(await changesWith({})).toEqual([]);
    const more = await changesWith({
      'golfers.csv': `${FILES['golfers.csv']}G03,right,9,180,study,2026-03-02\n`,
      'sessions.csv': `${FILES['sessions.csv']}S4,G02,2026-05-01,post\n`,
      'swings.csv': `${FILES['swings.csv']}W5,S4,1,full,3,41,no\n`,
      'practice.csv': `${FILES['practice.csv']}G01,2026-03-10,towel,40\n`,
      'instructors.csv': 'instructor_id\nI1\n',
    });
    expect(more).toEqual([]);
    expect(await changesWith(edited('swings.csv', '2.5,36.4', '2.50,36.40'))).toEqual([]);
    const columns = FILES['sessions.csv']!.replaceAll('\n', ',\n').replace('phase,', 'phase,surface');
    expect(await changesWith({ 'sessions.csv': columns })).toEqual([]);
  });

  it.each([
    ['golfers.csv', '14.2', '14.3', 'golfers.csv, G01', 'handicap_index'],
    ['golfers.csv', '3.1,,', '3.1,170,', 'golfers.csv, G02', 'height_cm'],
    ['sessions.csv', 'S2,G01,2026-04-20,post', 'S2,G01,2026-04-20,retention', 'sessions.csv, S2', 'phase'],
    ['swings.csv', '6.25', '9.25', 'swings.csv, W3', 'shaft_lean_impact_deg'],
    ['swings.csv', 'W2,S1,2,full,,', 'W2,S1,2,full,1,', 'swings.csv, W2', 'shaft_lean_impact_deg'],
    ['swings.csv', '-1.5,40.2', ',40.2', 'swings.csv, W4', 'shaft_lean_impact_deg'],
    ['swings.csv', '36.4,yes', '36.4,no', 'swings.csv, W1', 'ground_first'],
  ])('altered in %s (%s to %s) is named by row and column', async (file, from, to, where, column) => {
    expect(await changesWith(edited(file, from, to))).toEqual([
      { where, what: `the row is not as it was when the plan was locked (column ${column})` },
    ]);
  });

  it('of which rows or columns were taken away are named', async () => {
    const fewer = FILES['swings.csv']!.split('\n')
      .filter((line) => !line.startsWith('W3'))
      .join('\n');
    expect(await changesWith({ 'swings.csv': fewer })).toEqual([
      { where: 'swings.csv, W3', what: 'the row was there when the plan was locked and is gone' },
    ]);
    const narrower = FILES['golfers.csv']!.replace(/,height_cm|,178|(?<=3\.1),/g, '');
    expect(await changesWith({ 'golfers.csv': narrower })).toEqual([
      { where: 'golfers.csv, height_cm', what: 'the column was there when the plan was locked and is gone' },
    ]);
    const log = await changesWith({ 'practice.csv': 'golfer_id,date,drill,reps\nG01,2026-03-10,towel,40\n' });
    expect(log.map(({ where }) => where.replace(/[0-9a-f]{16}/, '#'))).toEqual([
      'practice.csv, row # again (2)',
      'practice.csv, row #',
    ]);
  });

  it('cannot hide behind a golfer named like what every object has', () => {
    const made = datasetFromRows(
      { golfers: [{ golfer_id: '__proto__', plays: 'right' }] },
      { mayBeEmpty: true },
    );
    if (!made.valid) throw new Error(JSON.stringify(made.problems));
    const locked: LockedPlan = JSON.parse(lockedPlanText(lockPlan(PLAN, made.value)));
    expect(openLockedPlan(locked).valid).toBe(true);
    expect(compareWithLock(locked, EMPTY).changes.map(({ where }) => where)).toContain(
      'golfers.csv, __proto__',
    );
  });
});
