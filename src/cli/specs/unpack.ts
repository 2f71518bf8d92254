import type { CommandSpec } from '../command.ts';

export const unpackCommand: CommandSpec = {
  name: 'unpack',
  summary: 'Turn a packed dataset folder into CSV tables again, with the same values.',
  example: 'unpack my-roster-packed --out my-roster-again',
  arguments: [{ usage: '[folder]', summary: 'the packed folder' }],
  options: [
    { usage: '--data <folder>', summary: 'the packed folder, if not given as the first word' },
    { usage: '--out <folder>', summary: 'a new folder for the CSV tables', required: true },
  ],
  load: () => import('../commands/unpack.ts'),
};
