import type { CommandSpec } from '../command.ts';

export const initCommand: CommandSpec = {
  name: 'init',
  summary: 'Write an empty starter folder with a dictionary of every column. Overwrites nothing.',
  example: 'init my-roster',
  arguments: [{ usage: '[folder]', summary: 'the new folder' }],
  options: [{ usage: '--out <folder>', summary: 'the new folder, if not given as the first word' }],
  load: () => import('../commands/init.ts'),
};
