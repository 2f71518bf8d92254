import type { CommandSpec } from '../command.ts';

export const demoCommand: CommandSpec = {
  name: 'demo',
  summary: 'Answer the question of the demo roster (invented people) and write its report.',
  example: 'demo',
  options: [
    {
      usage: '--out <folder>',
      summary: 'a new folder for the report (default: demo-report, or the next free name)',
    },
  ],
  load: () => import('../commands/demo.ts'),
};
