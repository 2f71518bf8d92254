import { fileURLToPath } from 'node:url';
import type { Given } from '../command.ts';
import { freeFolder, takenFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, refused } from '../result.ts';
import { ask } from './ask.ts';

const DEMO = new URL('../../../synthetic/demo/', import.meta.url);

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
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
}
