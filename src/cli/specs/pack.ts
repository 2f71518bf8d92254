import type { CommandSpec } from '../command.ts';

export const packCommand: CommandSpec = {
  name: 'pack',
  summary: 'Pack a dataset folder as Parquet, for large data, without change of a value.',
  example: 'pack my-roster --out my-roster-packed',
  arguments: [{ usage: '[folder]', summary: 'the dataset folder' }],
  options: [
    { usage: '--data <folder>', summary: 'the dataset folder, if not given as the first word' },
    { usage: '--out <folder>', summary: 'a new folder for the packed dataset', required: true },
  ],
  load: () => import('../commands/pack.ts'),
};
