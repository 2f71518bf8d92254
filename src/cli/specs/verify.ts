import type { CommandSpec } from '../command.ts';

export const verifyCommand: CommandSpec = {
  name: 'verify',
  summary:
    'Make a report or a notebook again from what it came from, and say whether it is identical or what moved.',
  example: 'verify my-report --data my-roster --plan plan.json',
  arguments: [
    {
      usage: '<report>',
      summary:
        'the folder of a report or of a notebook that was run, or one of its files; a notebook is a program, so verify only what you trust',
    },
  ],
  options: [
    { usage: '--data <folder>', summary: 'the folder it was made from' },
    {
      usage: '--plan <file>',
      summary: 'the plan it was asked with (default: the file of that name beside the data)',
    },
    {
      usage: '--notebook <file>',
      summary: 'the notebook (.ts) as it is now (default: the one that was run)',
    },
  ],
  load: () => import('../commands/verify.ts'),
};
