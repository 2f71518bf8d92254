import { fileURLToPath } from 'node:url';
import type { Given } from '../command.ts';
import { freeFolder } from '../files.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import type { CommandResult } from '../result.ts';
import { ask } from './ask.ts';

const DEMO = new URL('../../../synthetic/demo/', import.meta.url);

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  return ask(
    {
      study: 'drill-trial',
      data: fileURLToPath(DEMO),
      metric: undefined,
      plan: fileURLToPath(new URL('plan.json', DEMO)),
      out: textOption(given, 'out') ?? (await freeFolder('demo-report')),
    },
    progress,
  );
}
