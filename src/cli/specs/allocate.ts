import type { CommandSpec } from '../command.ts';

export const allocateCommand: CommandSpec = {
  name: 'allocate',
  summary:
    'Let chance decide who does the drill: seal a list of arms in blocks, by strata, then open it one golfer at a time.',
  example:
    'allocate --data my-roster --plan plan.json --strata handicap_index --seed 8214007315529 --out my-list',
  options: [
    { usage: '--data <folder>', summary: 'the dataset folder; golfers.csv alone will do', required: true },
    {
      usage: '--seed <number>',
      summary: 'a long random whole number: the key of the list, kept from whoever enters golfers',
      required: true,
    },
    { usage: '--plan <file>', summary: 'to seal: the plan that names the arms (JSON)' },
    {
      usage: '--strata <columns>',
      summary: 'to seal: columns of golfers.csv, with commas, to balance over',
    },
    { usage: '--out <folder>', summary: 'to seal: a new folder for the list' },
    { usage: '--open <folder>', summary: 'to open: the folder of the list' },
    {
      usage: '--golfer <ids>',
      summary: 'to open: who is entered now, with commas; all for everybody left',
    },
  ],
  load: () => import('../commands/allocate.ts'),
};
