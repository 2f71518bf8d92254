import type { CommandSpec } from '../command.ts';

export const runCommand: CommandSpec = {
  name: 'run',
  summary: 'Run a notebook (a percent-format .ts file) and write it as .ipynb and as a page.',
  example: 'run notebooks/drill-trial.ts --data my-roster --out my-notebook',
  arguments: [{ usage: '<notebook>', summary: 'the notebook; it is a program, so run only what you trust' }],
  options: [
    { usage: '--data <folder>', summary: 'the dataset folder the notebook reads' },
    { usage: '--seed <number>', summary: 'what notebook.seed gives: a whole number (default 1)' },
    { usage: '--cell-seconds <number>', summary: 'how long one cell may take (default 120)' },
    { usage: '--memory-mb <number>', summary: 'how much memory the notebook may use (default 2048)' },
    {
      usage: '--watch',
      summary:
        'run it again whenever it, a module it imports from beside it or its data change, and keep a page in the browser up to date; Ctrl-C ends it',
    },
    { usage: '--out <folder>', summary: 'a new folder for the two files', required: true },
  ],
  load: () => import('../commands/run.ts'),
};
