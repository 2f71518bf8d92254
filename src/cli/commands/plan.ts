import { basename, join, resolve } from 'node:path';
import { loadDataset, loadPlan } from '../../dataset/index.ts';
import { writeReport } from '../../report/index.ts';
import { type PlanInput, type PlannedKind, planFinding, serialiseFinding } from '../../studies/index.ts';
import { loadRecipe } from '../../synthetic/index.ts';
import type { Given } from '../command.ts';
import { datasetRefused, warningsInWords } from '../dataset-words.ts';
import { takenFolder } from '../files.ts';
import { findingInWords } from '../finding-words.ts';
import { textOption } from '../folder.ts';
import { numberOptions, optionName } from '../number-options.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, refused } from '../result.ts';
import { unknownWord } from '../unknown-word.ts';

const KINDS: readonly PlannedKind[] = ['parallel', 'crossover', 'before-after', 'after-only'];
const NUMBERS = [
  'effect',
  'change',
  'changeSd',
  'golfers',
  'sessions',
  'swings',
  'leaving',
  'chance',
  'draws',
  'seed',
  'workers',
] as const;
/** Where files are is nobody's business but the user's: the page writes these words instead. */
const STANDS_FOR: Readonly<Record<string, string>> = { data: 'FOLDER', plan: 'PLAN' };

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const out = textOption(given, 'out');
  const numbers = numberOptions(given, NUMBERS);
  const design = textOption(given, 'design');
  const faults = [
    ...(out === undefined ? [] : await takenFolder('--out', out)),
    ...numbers.faults,
    ...(design === undefined || KINDS.includes(design as PlannedKind)
      ? []
      : [unknownWord('--design', design, KINDS)]),
  ];
  const planPath = textOption(given, 'plan');
  const planned = planPath === undefined ? undefined : await loadPlan(planPath);
  if (planned?.valid === false)
    faults.push(
      ...planned.problems.map((problem) => ({
        ...problem,
        where: `--plan ${planPath} ${problem.where}`.trim(),
      })),
    );
  const recipeName = textOption(given, 'recipe');
  const recipe = recipeName === undefined ? undefined : await loadRecipe(recipeName);
  if (recipe?.valid === false)
    faults.push(...recipe.problems.map((problem) => ({ ...problem, where: `recipe ${problem.where}` })));
  if (faults.length > 0) return refused(2, faults);
  const data = textOption(given, 'data');
  const loaded = data === undefined ? undefined : await loadDataset(data);
  if (loaded?.valid === false) return datasetRefused(loaded.problems);
  const messages = loaded === undefined ? [] : warningsInWords(loaded.problems, data!);
  const metric = textOption(given, 'metric');
  const input: PlanInput = {
    ...numbers.values,
    command: commandOf(given),
    ...(recipe?.valid ? { recipe: recipe.recipe } : {}),
    ...(loaded?.valid ? { dataset: loaded.value } : {}),
    ...(planned?.valid
      ? {
          plan: planned.plan,
          planFile: { file: basename(planPath!), sha256: planned.sha256 ?? '' },
        }
      : {}),
    ...(metric === undefined ? {} : { metric }),
    ...(design === undefined ? {} : { design: design as PlannedKind }),
  };
  const outcome = await planFinding(input, (step) => progress.step(step));
  if (!outcome.ok) {
    const refusal = refused(2, outcome.problems);
    return { ...refusal, messages: [...messages, ...refusal.messages] };
  }
  const { finding } = outcome;
  const json: unknown = JSON.parse(serialiseFinding(finding));
  const words = findingInWords(finding);
  if (out === undefined) return { exit: 0, json, text: words, messages };
  progress.step('Writing the report');
  const { page } = await writeReport(out, finding);
  return { exit: 0, json, text: `${words}\n\nThe report: ${resolve(join(out, page))}`, messages };
}

/** The words that give this finding again. Threads do not change it. */
function commandOf(given: Given): string[] {
  const typed = ['recipe', 'data', 'plan', 'metric', 'design', ...NUMBERS].flatMap((name) => {
    const text = name === 'workers' ? undefined : textOption(given, name);
    if (text === undefined) return [];
    const shown = STANDS_FOR[name] ?? (name === 'recipe' ? basename(text) : text);
    return [`${optionName(name)} ${shown}`];
  });
  return ['plan', ...typed];
}
