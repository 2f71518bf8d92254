import type { CommandSpec } from '../command.ts';

export const eraseCommand: CommandSpec = {
  name: 'erase',
  summary:
    'Take a golfer out of a dataset folder: tables, captures, curves, logs, reports, packed files; then prove that nothing is left.',
  example: 'erase G07 --data my-roster',
  arguments: [{ usage: '<golfer>', summary: 'the id, letter for letter; or the pseudonym' }],
  options: [
    { usage: '--data <folder>', summary: 'the dataset folder, which is replaced', required: true },
    {
      usage: '--key <file>',
      summary: 'the key of the pseudonyms: what stands under the pseudonym of this id goes too',
    },
  ],
  load: () => import('../commands/erase.ts'),
};
