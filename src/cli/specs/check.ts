import type { CommandSpec } from '../command.ts';

export const checkCommand: CommandSpec = {
  name: 'check',
  summary: 'Look for everything that is wrong in a dataset folder, all at once. Changes nothing.',
  example: 'check my-roster',
  arguments: [{ usage: '[folder]', summary: 'the dataset folder' }],
  options: [{ usage: '--data <folder>', summary: 'the dataset folder, if not given as the first word' }],
  load: () => import('../commands/check.ts'),
};
