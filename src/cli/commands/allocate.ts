import { loadDataset } from '../../dataset/index.ts';
import { fault } from '../allocate/fault.ts';
import { openList } from '../allocate/open-list.ts';
import { seal } from '../allocate/seal.ts';
import type { Given } from '../command.ts';
import { datasetRefused, warningsInWords } from '../dataset-words.ts';
import { textOption } from '../folder.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';

export async function run(given: Given): Promise<CommandResult> {
  const seed = seedOf(textOption(given, 'seed') ?? '');
  if (typeof seed !== 'number') return refused(2, [seed]);
  const data = textOption(given, 'data') ?? '';
  const loaded = await loadDataset(data, { mayBeEmpty: true });
  if (!loaded.valid) return datasetRefused(loaded.problems);
  const messages = warningsInWords(loaded.problems, data);
  const open = textOption(given, 'open');
  const result =
    open === undefined
      ? await seal(given, seed, loaded.value)
      : await openList(open, given, seed, loaded.value);
  return { ...result, messages: [...messages, ...result.messages] };
}

function seedOf(text: string): number | Fault {
  const seed = /^\d{1,16}$/.test(text) ? Number(text) : Number.NaN;
  return Number.isSafeInteger(seed)
    ? seed
    : fault(
        '--seed',
        `"${text}"`,
        'a whole number of up to 16 digits',
        'draw one at random and keep it to yourself',
      );
}
