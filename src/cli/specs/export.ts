import type { CommandSpec } from '../command.ts';

export const exportCommand: CommandSpec = {
  name: 'export',
  summary:
    'Pack a report with data, plan and all that a stranger needs to make it again, as a zip; only of golfers who consented to sharing.',
  example: 'export my-report --data my-roster --plan plan.json --out my-report.zip',
  arguments: [
    {
      usage: '<report>',
      summary: 'the folder of a report or of a notebook that was run, or one of its files',
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
      summary: 'a notebook (.ts) to run on the same data and pack beside the report; run only what you trust',
    },
    { usage: '--license <address>', summary: 'the address of the licence under which it is handed on' },
    {
      usage: '--date <day>',
      summary: 'the day on which it is handed on (default: the newest date in the data)',
    },
    {
      usage: '--key <file>',
      summary: 'a key, outside the data: the same codes in every archive where only some golfers consented',
    },
    { usage: '--pdf', summary: 'also the page as PDF, printed by a Chromium on this machine' },
    { usage: '--out <file>', summary: 'a new file ending in .zip', required: true },
  ],
  load: () => import('../commands/export.ts'),
};
