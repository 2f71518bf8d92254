import { resolve } from 'node:path';
import { initDataset, shellWord, starterFiles } from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { takenFolder } from '../files.ts';
import { folderGiven } from '../folder.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given): Promise<CommandResult> {
  const folder = folderGiven(given, 'out');
  if (!folder.ok) return folder.result;
  const taken = await takenFolder('the folder', folder.path);
  if (taken.length > 0) return refused(2, taken);
  await initDataset(folder.path);
  const files = Object.keys(starterFiles()).sort();
  const text = [
    `Wrote ${folder.path} with ${files.length} files: ${files.join(', ')}.`,
    'Open dictionary.html in a browser: it says what goes into each column.',
    `When the tables are filled in: npm run --silent cli -- check ${shellWord(folder.path)}`,
  ].join('\n');
  return good({ folder: resolve(folder.path), files }, text);
}
