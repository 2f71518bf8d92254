import { readdir, stat } from 'node:fs/promises';
import { extname } from 'node:path';
import type { NotebookProblem } from './cell.ts';

/** What is wrong with a request to run a notebook, all of it at once, before anything is run or written. */
export async function requestProblems(
  path: string,
  dataDir: string | null,
  outDir: string,
): Promise<NotebookProblem[]> {
  return [
    ...(await faultsOfNotebook(path)),
    ...(await faultsOfData(dataDir)),
    ...(await faultsOfOut(outDir)),
  ];
}

async function faultsOfNotebook(path: string): Promise<NotebookProblem[]> {
  const expected = 'a notebook: a .ts file in percent format';
  if (extname(path) !== '.ts')
    return [request('the notebook', `"${path}"`, expected, 'give the .ts file of the notebook')];
  return (await kindOf(path)) === 'file'
    ? []
    : [
        request(
          'the notebook',
          `no file "${path}"`,
          expected,
          'check the spelling and the folder you are in',
        ),
      ];
}

async function faultsOfData(dataDir: string | null): Promise<NotebookProblem[]> {
  if (dataDir === null || (await kindOf(dataDir)) === 'folder') return [];
  const remedy = 'check the spelling and the folder you are in';
  return [request('the data folder', `no folder "${dataDir}"`, 'a folder with the tables', remedy)];
}

/** Asked before the run, so that nobody waits for a notebook that has no place to go. */
async function faultsOfOut(outDir: string): Promise<NotebookProblem[]> {
  const kind = await kindOf(outDir);
  if (kind === null) return [];
  if (kind !== 'folder') return [outUnfit(outDir, 'is a file')];
  return (await readdir(outDir)).length === 0 ? [] : [outUnfit(outDir, 'exists and is not empty')];
}

/** The output folder cannot be used: nothing is ever written over. */
export function outUnfit(outDir: string, how: string): NotebookProblem {
  return request(
    'the output folder',
    `"${outDir}", which ${how}`,
    'a folder that does not exist yet, or is empty',
    'give another name, or move the old folder away first; nothing was written',
  );
}

/** The data folder cannot be used for the reason given. */
export function dataUnfit(dataDir: string, how: string): NotebookProblem {
  return request(
    'the data folder',
    `"${dataDir}", which ${how}`,
    'a folder with the tables of one dataset, all of which can be read',
    "give the dataset's own folder, or ask for the right to read it",
  );
}

function request(where: string, found: string, expected: string, remedy: string): NotebookProblem {
  return { where, line: null, found, expected, remedy };
}

async function kindOf(path: string): Promise<'file' | 'folder' | 'other' | null> {
  try {
    const entry = await stat(path);
    return entry.isDirectory() ? 'folder' : entry.isFile() ? 'file' : 'other';
  } catch {
    return null;
  }
}
