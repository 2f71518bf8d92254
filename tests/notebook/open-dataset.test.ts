import { cpSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { codeCells, outputText, runText, testFolder } from './run-here.ts';

const folder = testFolder();
const LONG_MS = 60_000;
const DEMO = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
const TEXT = `// %%
import { closing, openDataset } from 'proving-range/notebook';
import { drillTrial } from 'proving-range/studies';
const { dataset, plan, metric, asked } = await openDataset({ metric: 'attack_angle_deg' });

// %%
const outcome = drillTrial(dataset, asked);
if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
[plan?.study ?? 'none', metric.column, asked.seed, asked.planFile?.sha256.length ?? 0, outcome.finding.planned.planned];

// %%
closing(outcome.finding, ['A word of its own.']);
`;

/** The demo folder again, its plan as given, or taken away. */
function copyOf(name: string, plan: string | null): string {
  const data = join(folder, name);
  cpSync(DEMO, data, { recursive: true });
  if (plan === null) rmSync(join(data, 'plan.json'));
  else writeFileSync(join(data, 'plan.json'), plan);
  return data;
}

describe('openDataset and closing', () => {
  it(
    'show the question, the number, the data and the plan, and at the end the answer and what would change it',
    async () => {
      const { result, notebook } = await runText(folder, TEXT, { dataDir: DEMO, seed: 5 });
      expect(result.failedCell).toBeNull();
      const [opening, used, end] = codeCells(notebook).map((cell) => outputText(cell));
      const plan = JSON.parse(readFileSync(join(DEMO, 'plan.json'), 'utf8'));
      expect(opening).toContain(`**Asked:** ${plan.question}`);
      expect(opening).toContain('`shaft_lean_impact_deg`');
      const rows = readFileSync(join(DEMO, 'golfers.csv'), 'utf8').trim().split('\n').length - 1;
      expect(opening).toContain(`${rows} golfers`);
      expect(opening).toContain('The smallest change that matters is 1 deg.');
      expect(used).toContain("[ 'drill-trial', 'shaft_lean_impact_deg', 5, 64, true ]");
      for (const words of ['What would change it:', '- A word of its own.', 'Training load: stop at pain'])
        expect(end).toContain(words);
    },
    LONG_MS,
  );

  it(
    'say that nothing was planned, and ask of the number that was named',
    async () => {
      const dataDir = copyOf('no-plan', null);
      const { result, notebook } = await runText(folder, TEXT, { dataDir });
      expect(result.failedCell).toBeNull();
      const [opening, used] = codeCells(notebook).map((cell) => outputText(cell));
      expect(opening).toContain('there is no `plan.json` in the folder');
      expect(used).toContain("[ 'none', 'attack_angle_deg', 1, 0, false ]");
    },
    LONG_MS,
  );

  it(
    'stop with the faults of a plan',
    async () => {
      const dataDir = copyOf('faulty-plan', '{ "study": "drill-trial" }');
      const { result, notebook } = await runText(folder, TEXT, { dataDir });
      expect(result.failedCell?.message).toContain('plan.json has the faults listed above');
      expect(outputText(codeCells(notebook)[0])).toContain('question');
    },
    LONG_MS,
  );
});
