import { mkdtemp, readdir, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runProgram } from '../../src/cli/program.ts';
import { datasetFromRows, type RowsInput, writeDataset } from '../../src/dataset/index.ts';

export interface Typed {
  readonly exit: number;
  readonly out: string;
  readonly err: string;
}

/** Types a command as a shell would, and keeps what it says. */
export async function type(...words: readonly string[]): Promise<Typed> {
  let out = '';
  let err = '';
  const exit = await runProgram(words, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
  });
  return { exit, out, err };
}

/** A name for a folder that does not exist yet. */
export async function newFolder(name = 'data'): Promise<string> {
  return join(await mkdtemp(join(tmpdir(), 'proving-range-')), name);
}

/** Every file under a folder with its text, to see that nothing was changed. */
export async function snapshot(folder: string): Promise<Record<string, string>> {
  const names = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = names.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
  return Object.fromEntries(
    await Promise.all(files.sort().map(async (file) => [file, await readFile(file, 'latin1')] as const)),
  );
}

export type MutableRows = { -readonly [Name in keyof RowsInput]: Record<string, unknown>[] };

export interface TrialShape {
  readonly golfersPerArm: number;
  readonly swingsPerSession: number;
  readonly arms: readonly string[];
  /** The value of a swing of golfer g (from 0, over both arms) in a phase, swing s. */
  value(g: number, arm: string, phase: string, s: number): number;
}

/** Rows of a small invented trial, before and after. */
export function trialRows(shape: TrialShape): MutableRows {
  const golfers: Record<string, unknown>[] = [];
  const sessions: Record<string, unknown>[] = [];
  const swings: Record<string, unknown>[] = [];
  const assignments: Record<string, unknown>[] = [];
  for (let g = 0; g < shape.golfersPerArm * shape.arms.length; g += 1) {
    const golfer_id = `G${String(g + 1).padStart(2, '0')}`;
    const arm = shape.arms[g % shape.arms.length] ?? '';
    golfers.push({ golfer_id, plays: g % 5 === 4 ? 'left' : 'right' });
    assignments.push({ golfer_id, trial_id: 'T1', arm, assigned_on: '2031-03-08' });
    for (const [phase, date] of [
      ['baseline', '2031-03-01'],
      ['post', '2031-04-12'],
    ] as const) {
      const session_id = `${golfer_id}-${phase}`;
      sessions.push({ session_id, golfer_id, date, phase });
      for (let s = 0; s < shape.swingsPerSession; s += 1)
        swings.push({
          swing_id: `${session_id}-${s + 1}`,
          session_id,
          order_in_session: s + 1,
          task: 'full',
          shaft_lean_impact_deg: shape.value(g, arm, phase, s),
        });
    }
  }
  return { golfers, sessions, swings, assignments };
}

/** A value that differs by golfer, arm, phase and swing in a fixed, untidy way; the drill adds 3 deg. */
export function untidy(g: number, arm: string, phase: string, s: number): number {
  const own = ((g * 37) % 11) - 5;
  const day = ((g * 13 + (phase === 'post' ? 7 : 0)) % 5) / 4;
  const swing = ((g * 7 + s * 5 + (phase === 'post' ? 3 : 0)) % 9) / 3 - 4 / 3;
  return Number((own + day + swing + (arm === 'drill' && phase === 'post' ? 3 : 0)).toFixed(3));
}

/** Writes rows as a dataset folder; throws where the rows themselves are at fault. */
export async function writeRows(rows: MutableRows): Promise<string> {
  const checked = datasetFromRows(rows as unknown as RowsInput);
  if (!checked.valid) throw new Error(JSON.stringify(checked.problems, null, 1));
  const folder = await newFolder();
  await writeDataset(folder, checked.value);
  return folder;
}
