import type { CommandSpec } from '../command.ts';

export const pseudonymiseCommand: CommandSpec = {
  name: 'pseudonymise',
  summary: 'Write a dataset anew with pseudonyms that only the holder of a key can undo.',
  example: 'pseudonymise my-roster --key my-roster.key --out my-roster-coded',
  arguments: [{ usage: '[folder]', summary: 'the dataset folder' }],
  options: [
    { usage: '--data <folder>', summary: 'the dataset folder, if not given as the first word' },
    {
      usage: '--key <file>',
      summary: 'the key, outside the dataset; made where there is none',
      required: true,
    },
    { usage: '--out <folder>', summary: 'a new folder', required: true },
  ],
  load: () => import('../commands/pseudonymise.ts'),
};
