import type { CommandSpec } from '../command.ts';

export const lockCommand: CommandSpec = {
  name: 'lock',
  summary: 'Seal a plan together with what is in the dataset now, so that neither can be altered unnoticed.',
  example: 'lock --plan plan.json --data my-roster --out plan-locked.json',
  options: [
    {
      usage: '--plan <file>',
      summary: 'the plan (JSON; see data-schemas/plan.schema.json)',
      required: true,
    },
    { usage: '--data <folder>', summary: 'the dataset folder as it is now, empty or not', required: true },
    { usage: '--out <file>', summary: 'a new file for the locked plan', required: true },
  ],
  load: () => import('../commands/lock.ts'),
};
