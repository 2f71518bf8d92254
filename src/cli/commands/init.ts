import { resolve } from 'node:path';
import { initDataset, starterFiles } from '../../dataset/index.ts';
import type { CommandSpec } from '../command.ts';
import { takenFolder } from '../files.ts';
import { folderGiven } from '../folder.ts';
import { good, refused } from '../result.ts';

export const initCommand: CommandSpec = {
  name: 'init',
  summary: 'Write an empty starter folder with a dictionary of every column. Overwrites nothing.',
  example: 'init my-roster',
  arguments: [{ usage: '[folder]', summary: 'the new folder' }],
  options: [{ usage: '--out <folder>', summary: 'the new folder, if not given as the first word' }],
  async run(given) {
    const folder = folderGiven(given, 'out');
    if (!folder.ok) return folder.result;
    const taken = await takenFolder('the folder', folder.path);
    if (taken.length > 0) return refused(2, taken);
    await initDataset(folder.path);
    const files = Object.keys(starterFiles()).sort();
    const text = [
      `Wrote ${folder.path} with ${files.length} files: ${files.join(', ')}.`,
      'Open dictionary.html in a browser: it says what goes into each column.',
      `When the tables are filled in: npm run --silent cli -- check ${folder.path}`,
    ].join('\n');
    return good({ folder: resolve(folder.path), files }, text);
  },
};
