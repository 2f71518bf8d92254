/** A pipe or a device where a file should be: refused in words at once. Reading it would wait without end. */
import { execFileSync } from 'node:child_process';
import { constants } from 'node:fs';
import { mkdir, open, rm, symlink, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readNamedFile } from '../../src/cli/files.ts';
import {
  eraseGolfer,
  importFile,
  loadCurves,
  loadDataset,
  loadPlan,
  measureFolder,
  packDataset,
  proposeMapping,
  readKey,
  readRegularFile,
  shareDataset,
} from '../../src/dataset/index.ts';
import { loadRecipe } from '../../src/synthetic/index.ts';
import { answered } from './import/importing.ts';
import { inTempFolder, ROSTER } from './roster.ts';

const PATIENCE_MS = 15_000;

/** What came of it in words; 'waits without end' where nothing did, after which the pipe is written to, so that the test ends. */
async function outcomeOf(pipe: string, work: () => Promise<unknown>): Promise<string> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<string>((resolve) => {
    timer = setTimeout(() => resolve('waits without end'), PATIENCE_MS);
  });
  const done = work().then(
    (value) => JSON.stringify(value),
    (error: Error) => `${error.name}: ${error.message}`,
  );
  const outcome = await Promise.race([done, late]);
  clearTimeout(timer);
  if (outcome === 'waits without end')
    await open(pipe, constants.O_WRONLY | constants.O_NONBLOCK).then((handle) => handle.close());
  return outcome;
}

async function withPipe(
  place: string,
  work: (root: string, pipe: string) => Promise<unknown>,
): Promise<string> {
  return inTempFolder(async (root) => {
    for (const [name, content] of Object.entries(ROSTER)) {
      await mkdir(join(root, 'data'), { recursive: true });
      await writeFile(join(root, 'data', name), content);
    }
    await mkdir(join(root, 'raw'));
    const pipe = join(root, place);
    await rm(pipe, { force: true });
    await mkdir(dirname(pipe), { recursive: true });
    execFileSync('mkfifo', [pipe]);
    return outcomeOf(pipe, () => work(root, pipe));
  });
}

const SHEET = new TextEncoder().encode(
  'date,golfer,plays,club speed (mph)\n2026-03-04,Z1,right,80.5\n2026-03-04,Z1,right,81.5\n',
);

async function importInto(root: string): Promise<unknown> {
  const proposal = proposeMapping(SHEET, 'a.csv');
  if (!proposal.ok) throw new Error('no proposal');
  return importFile({ mapping: answered(proposal.mapping), source: SHEET, data: join(root, 'data') });
}

describe('a pipe in the place of a file', () => {
  const load = (root: string) => loadDataset(join(root, 'data'));
  const curves = (root: string) => loadCurves(join(root, 'data'));
  const measure = (root: string) =>
    measureFolder({
      captures: join(root, 'raw'),
      layout: join(root, 'layout.json'),
      out: join(root, 'out'),
    });

  it.each<[string, (root: string, pipe: string) => Promise<unknown>]>([
    ['data/golfers.csv', load],
    ['data/practice.csv', load],
    ['data/datapackage.json', load],
    ['data/curves.csv', curves],
    ['data/curve-instants.csv', curves],
    ['data/golfers.csv', importInto],
    ['data/datapackage.json', importInto],
    ['data/import-log.jsonl', importInto],
    ['data/notes.txt', (root) => packDataset(join(root, 'data'), join(root, 'out'))],
    ['data/swings.csv', (root) => packDataset(join(root, 'data'), join(root, 'out'))],
    ['data/notes.txt', (root) => eraseGolfer(join(root, 'data'), 'G01')],
    ['data/erasures.csv', (root) => eraseGolfer(join(root, 'data'), 'G01')],
    [
      'data/sessions.csv',
      (root) => shareDataset({ folder: join(root, 'data'), out: join(root, 'out'), scope: 'share' }),
    ],
    ['plan.json', (_, pipe) => loadPlan(pipe)],
    ['key', (root, pipe) => readKey(pipe, { dataset: join(root, 'data') })],
    ['recipe.json', (_, pipe) => loadRecipe(pipe)],
    ['named', (_, pipe) => readNamedFile('--model', pipe)],
    ['raw/manifest.csv', measure],
    ['raw/a.c3d', measure],
    ['layout.json', measure],
  ])('%s is refused in words, and not waited for', async (place, work) => {
    const outcome = await withPipe(place, work);
    expect(outcome).not.toBe('waits without end');
    // Words of the machine are no remedy.
    expect(outcome).not.toMatch(/TypeError|ENOTFILE|EISDIR|EINVAL|is not a function/);
    expect(outcome).toMatch(
      /cannot be read|no file that can be read|is a pipe or a device|is no plain file|something that is no file|"no capture"/,
    );
  });
});

describe('readRegularFile', () => {
  it('reads a file, also behind a link, and refuses a folder and a device', async () => {
    await inTempFolder(async (root) => {
      await writeFile(join(root, 'a'), 'x\0y');
      await symlink('a', join(root, 'b'));
      expect((await readRegularFile(join(root, 'b'))).toString('latin1')).toBe('x\0y');
      await expect(readRegularFile(root)).rejects.toMatchObject({ code: 'EISDIR' });
      await expect(readRegularFile('/dev/zero')).rejects.toMatchObject({ code: 'ENOTFILE' });
      await expect(readRegularFile(join(root, 'none'))).rejects.toMatchObject({ code: 'ENOENT' });
    });
  });
});
