import { stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { shellWords } from '../../dataset/index.ts';
import { commandOf, type Finding } from '../../studies/index.ts';
import type { Given } from '../command.ts';
import { COMMANDS } from '../commands.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';

/** Where what a command names by a word is to be found. */
export interface Places {
  readonly data: string | undefined;
  readonly plan: string | undefined;
}

/** The commands that answer with a Finding. A report comes from anybody, so no other is ever run. */
const ANSWERING: readonly string[] = ['ask', 'plan', 'angle', 'calibrate'];

/**
 * Runs the command that a Finding holds, with the folder and the plan that were named, and writes its report into a new folder.
 * Its result is that of the command: 0 with the Finding as its document, or why it cannot be had.
 */
export async function askAgain(
  finding: Finding,
  places: Places,
  out: string,
  progress: Progress,
): Promise<CommandResult> {
  const words = shellWords(commandOf(finding).join(' '));
  const spec = COMMANDS.find(({ name }) => name === words[0] && ANSWERING.includes(name));
  if (spec === undefined) return refused(2, [notAnswering(words)]);
  const read = readWords(words.slice(1), new Map(spec.options.map(({ usage }) => optionOf(usage))));
  if ('fault' in read) return refused(2, [read.fault]);
  const { run } = await spec.load();
  // Points and published angles are told apart by trying: the Finding lists its files in order of name.
  let result: CommandResult | null = null;
  for (const files of [filesOf(finding), filesOf(finding).reverse()]) {
    const placed = await placeWords(read.given, places, files, finding);
    if ('faults' in placed) return refused(2, placed.faults);
    result = await run({ ...placed.given, options: { ...placed.given.options, out } }, progress);
    if (result.exit === 0 || words[0] !== 'angle') return result;
  }
  return result!;
}

/** `--noise-mm <sd>` as the name typed and whether a value follows. */
function optionOf(usage: string): readonly [string, boolean] {
  const [name = '', value] = usage.split(' ');
  return [name, value !== undefined];
}

function readWords(
  words: readonly string[],
  known: ReadonlyMap<string, boolean>,
): { readonly given: Given } | { readonly fault: Fault } {
  const positional: string[] = [];
  const options: Record<string, string | boolean> = {};
  for (let place = 0; place < words.length; place += 1) {
    const word = words[place]!;
    if (!word.startsWith('--')) {
      positional.push(word);
      continue;
    }
    const hasValue = known.get(word);
    const value = words[place + 1];
    if (hasValue === undefined || word === '--out' || (hasValue && value === undefined))
      return { fault: notAnswering(words) };
    const name = word.slice(2).replace(/-([a-z])/g, (_, letter: string) => letter.toUpperCase());
    options[name] = hasValue ? value! : true;
    if (hasValue) place += 1;
  }
  return { given: { arguments: positional, options } };
}

/** The names of the files an angle was worked out from: never a path out of the folder that was named. */
function filesOf({ provenance }: Finding): string[] {
  return provenance.inputs.map(({ file }) => basename(String(file)));
}

async function placeWords(
  given: Given,
  places: Places,
  files: readonly string[],
  finding: Finding,
): Promise<{ readonly given: Given } | { readonly faults: readonly Fault[] }> {
  const faults: Fault[] = [];
  const options: Record<string, string | boolean | undefined> = { ...given.options };
  const inData = (name: string): string => {
    if (places.data === undefined)
      faults.push({
        where: '--data',
        found: 'no folder',
        expected: `the folder with ${name}`,
        remedy: 'name the folder the report was made from',
      });
    return join(places.data ?? '', name);
  };
  for (const [option, value] of Object.entries(given.options)) {
    if (value === 'FOLDER') options[option] = places.data ?? inData('the data');
    else if (value === 'PLAN') {
      const plan = places.plan ?? (await planInData(places.data, finding));
      if (plan === null)
        faults.push({
          where: '--plan',
          found: 'no plan',
          expected: 'the plan this was asked with',
          remedy: 'name its file with --plan',
        });
      else options[option] = plan;
    } else if (value === 'POINTS') options[option] = inData(files[0] ?? '');
    else if (value === 'PUBLISHED') options[option] = inData(files[1] ?? '');
    else if (option === 'recipe' && String(value).endsWith('.json'))
      options[option] = inData(basename(String(value)));
  }
  return faults.length > 0 ? { faults } : { given: { ...given, options } };
}

/** The plan beside the data, under the name it had; null where none of the inputs is there as a plan. */
async function planInData(data: string | undefined, finding: Finding): Promise<string | null> {
  if (data === undefined) return null;
  for (const file of filesOf(finding))
    if (file.endsWith('.json') && file !== 'datapackage.json') {
      const path = join(data, file);
      if ((await stat(path).catch(() => null))?.isFile() === true) return path;
    }
  return null;
}

function notAnswering(words: readonly string[]): Fault {
  return {
    where: "the report's own command",
    found: `"${words.join(' ').slice(0, 200)}"`,
    expected: `${ANSWERING.join(', ')} with options of this version`,
    remedy: 'make the report again with this version, or verify it with the version that made it',
  };
}
