import { fileURLToPath } from 'node:url';
import type { CommandSpec } from '../command.ts';
import { freeFolder, takenFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import { refused } from '../result.ts';
import { ask } from './ask.ts';

const DEMO = new URL('../../../synthetic/demo/', import.meta.url);

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
  async run(given, progress) {
    const wish = textOption(given, 'out');
    if (wish !== undefined) {
      const taken = await takenFolder('--out', wish);
      if (taken.length > 0) return refused(2, taken);
    }
    return ask(
      {
        study: 'drill-trial',
        data: fileURLToPath(DEMO),
        metric: undefined,
        plan: fileURLToPath(new URL('plan.json', DEMO)),
        out: wish ?? (await freeFolder('demo-report')),
      },
      progress,
    );
  },
};
