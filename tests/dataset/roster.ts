import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { type Checked, type Dataset, loadDataset, type Problem } from '../../src/dataset/index.ts';

/** Two invented golfers, with nothing wrong: the ground on which each test breaks one thing. */
export const ROSTER: Readonly<Record<string, string>> = {
  'golfers.csv':
    'golfer_id,plays,handicap_index,height_cm,consent_scope,consent_date\n' +
    'G01,right,14.2,178,study,2026-03-01\n' +
    'G02,left,3.1,,study,2026-03-01\n',
  'sessions.csv':
    'session_id,golfer_id,date,phase\n' +
    'S1,G01,2026-03-04,baseline\n' +
    'S2,G01,2026-04-20,post\n' +
    'S3,G02,2026-03-05,baseline\n',
  'swings.csv':
    'swing_id,session_id,order_in_session,task,shaft_lean_impact_deg,club_speed_mps,ground_first\n' +
    'W1,S1,1,full,2.5,36.4,yes\n' +
    'W2,S1,2,full,,36.1,no\n' +
    'W3,S2,1,full,6.25,36.9,no\n' +
    'W4,S3,1,full,-1.5,40.2,\n',
};

/** Loads a folder with these files; the folder is gone afterwards. */
export async function loadFiles(
  files: Readonly<Record<string, string | Uint8Array>>,
): Promise<Checked<Dataset>> {
  return inTempFolder(async (folder) => {
    for (const [path, content] of Object.entries(files)) {
      await mkdir(dirname(join(folder, path)), { recursive: true });
      await writeFile(join(folder, path), content);
    }
    return loadDataset(folder);
  });
}

/** The roster with some files replaced, and the problems that it then has. */
export async function problemsWith(
  files: Readonly<Record<string, string | Uint8Array>>,
): Promise<readonly Problem[]> {
  return (await loadFiles({ ...ROSTER, ...files })).problems;
}

/** A file of the roster with one text replaced; throws when the text does not stand in it. */
export function edited(file: string, from: string, to: string): Record<string, string> {
  const text = ROSTER[file] ?? '';
  if (!text.includes(from)) throw new Error(`edited: ${file} does not hold '${from}'`);
  return { [file]: text.replace(from, to) };
}

export async function inTempFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), 'dataset-test-'));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
