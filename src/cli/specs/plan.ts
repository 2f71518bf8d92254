import type { CommandSpec } from '../command.ts';

export const planCommand: CommandSpec = {
  name: 'plan',
  summary:
    'How many golfers and swings? Work out the size of a study by simulating it with the model that will be used.',
  example: 'plan --recipe drill-parallel-effect --metric shaft_lean_impact_deg --change 1 --out my-plan',
  options: [
    { usage: '--recipe <name>', summary: 'how values spread: a recipe by name, or a file ending in .json' },
    { usage: '--data <folder>', summary: 'how values spread: a dataset with swings like those planned' },
    { usage: '--plan <file>', summary: 'the plan as far as it is written (JSON)' },
    { usage: '--metric <column>', summary: 'the number that decides, a column of swings.csv' },
    { usage: '--design <kind>', summary: 'parallel, crossover, before-after or after-only' },
    { usage: '--effect <size>', summary: 'the true effect that is assumed, with its sign' },
    { usage: '--change <size>', summary: 'the smallest change that matters, where the plan states none' },
    { usage: '--change-sd <size>', summary: "SD of golfers' own changes, where data cannot tell" },
    { usage: '--golfers <number>', summary: 'golfers in all, when only the chance is asked for' },
    { usage: '--sessions <number>', summary: 'sessions of each golfer in each phase (default 1)' },
    { usage: '--swings <number>', summary: 'full swings in a session' },
    { usage: '--leaving <share>', summary: 'share of golfers who leave before the end, 0 to 0.6' },
    { usage: '--chance <share>', summary: 'wished chance of the right verdict (default 0.8)' },
    { usage: '--draws <number>', summary: 'simulated studies of each size (default 1000)' },
    { usage: '--seed <number>', summary: 'a whole number; the same seed gives the same bytes (default 1)' },
    { usage: '--workers <number>', summary: 'threads; the numbers do not depend on it (default 1)' },
    { usage: '--out <folder>', summary: 'a new folder for the report' },
  ],
  load: () => import('../commands/plan.ts'),
};
