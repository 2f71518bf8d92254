import type { CommandSpec } from '../command.ts';

export const calibrateCommand: CommandSpec = {
  name: 'calibrate',
  summary:
    'Does the method tell the truth? Put cohorts of known truth to the studies and count how often they are right.',
  example: 'calibrate --study noise --cohorts 500 --out my-calibration',
  options: [
    {
      usage: '--study <names>',
      summary: 'which studies, with commas between them (default all that give intervals)',
    },
    { usage: '--cohorts <number>', summary: 'cohorts of each kind (default 2000, which takes a while)' },
    { usage: '--seed <number>', summary: 'a whole number; the same seed gives the same bytes (default 1)' },
    { usage: '--workers <number>', summary: 'threads; the numbers do not depend on it (default 1)' },
    { usage: '--out <folder>', summary: 'a new folder for the report' },
  ],
  load: () => import('../commands/calibrate.ts'),
};
