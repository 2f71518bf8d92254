/** Every `@example` in src/ is run, and what it states is what comes out. */
import { cpSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import ts from 'typescript';
import { beforeAll, describe, expect, it } from 'vitest';
import { type Example, examplesUnder, stepsOf } from './docstring-examples.ts';
import { PROJECT } from './documents.ts';
import { givenToExamples } from './given.ts';
import { sitDown } from './reader.ts';
import { differenceFrom } from './stated-result.ts';

/** Examples that are not run here, by file and the words they begin with, with the reason. */
const EXCUSED: Readonly<Record<string, string>> = {
  'src/dataset/danfo.ts: const frame = toDataFrame(':
    'danfojs-node is a peer of 340 MB that is not installed',
  'src/dataset/danfo.ts: toDataFrame(': 'danfojs-node is not installed',
  'src/dataset/danfo.ts: fromDataFrame(': 'danfojs-node is not installed',
  'src/dataset/import/sheet-layout.ts: headersOf(rows':
    'rows of a sheet are made by reading one, inside the import',
  'src/studies/calibration/calibration-finding.ts: findingOfRows(rows': 'its rows come from a calibration',
  'src/notebook/open-dataset.ts: // In a notebook':
    'runs inside a notebook; those of notebooks/ begin with it',
  'src/numerics/threads/start-worker.ts: startWorker(': 'starts a thread from the file of its caller',
};

const AREAS = readdirSync(`${PROJECT}src`, { withFileTypes: true })
  .filter((entry) => entry.isDirectory())
  .map(({ name }) => name);
let folder = '';
let given: Readonly<Record<string, unknown>> = {};
const met = new Set<string>();

beforeAll(async () => {
  const leave = sitDown();
  folder = process.cwd();
  const areas = await Promise.all(
    AREAS.filter((area) => area !== 'cli').map((area) => exportsOf(`src/${area}/index.ts`)),
  );
  given = Object.assign({}, ...areas, await givenToExamples());
  return leave;
}, 120_000);

describe.each(AREAS)('src/%s', (area) => {
  const examples = examplesUnder(`src/${area}`);
  it.runIf(examples.length > 0)(`${examples.length} examples`, { timeout: 120_000 }, async () => {
    const faults: string[] = [];
    for (const example of examples) {
      const excuse = excuseOf(example);
      if (excuse !== undefined) met.add(excuse);
      else
        faults.push(...(await faultsOf(example)).map((fault) => `${example.file}:${example.line}: ${fault}`));
    }
    expect(faults.join('\n')).toBe('');
  });
});

it('excuses few examples, each of them there', () => {
  expect(Object.keys(EXCUSED).filter((excuse) => !met.has(excuse))).toEqual([]);
  expect(Object.keys(EXCUSED).length).toBeLessThanOrEqual(10);
});

function excuseOf({ file, code }: Example): string | undefined {
  return Object.keys(EXCUSED).find((excuse) => `${file}: ${code}`.startsWith(excuse));
}

async function exportsOf(file: string): Promise<Readonly<Record<string, unknown>>> {
  return import(`${PROJECT}${file}`);
}

/** Runs an example and compares each of its results. One that may write has a folder of its own. */
async function faultsOf({ file, code }: Example): Promise<readonly string[]> {
  const own = code.includes('await ') ? mkdtempSync(join(tmpdir(), 'proving-range-example-')) : null;
  if (own !== null) cpSync(folder, own, { recursive: true });
  process.chdir(own ?? folder);
  try {
    const steps = stepsOf(code);
    const stating = steps.filter(({ isExpression, stated }) => isExpression && stated !== null);
    if (stating.length === 0) return ['states no result: EXPRESSION // RESULT'];
    const body = steps.map((step) =>
      stating.includes(step) ? `RESULTS.push(${step.code});` : `${step.code};`,
    );
    const results: unknown[] = [];
    await runIn({ ...given, ...(await exportsOf(file)), RESULTS: results }, body.join('\n'));
    return stating.flatMap((step, index) => differenceFrom(step.stated!, results[index]) ?? []);
  } catch (error) {
    return [error instanceof Error ? `${error.name}: ${error.message}` : String(error)];
  } finally {
    process.chdir(folder);
    if (own !== null) rmSync(own, { recursive: true, force: true });
  }
}

/** Runs the text with these names in scope, as a program of the package's user would have imported them. */
async function runIn(scope: Readonly<Record<string, unknown>>, text: string): Promise<void> {
  const { outputText } = ts.transpileModule(text, {
    compilerOptions: { target: ts.ScriptTarget.ES2023, module: ts.ModuleKind.ESNext },
  });
  const program = outputText.replace(/^export \{\};$/m, '');
  // The names of the scope are those of its keys; only a sloppy function may be written with `with`.
  await new Function('scope', `with (scope) { return (async () => {\n${program}\n})(); }`)(scope);
}
