/**
 * Tries mutated inputs of every kind that a user gives to us, each in a child that is killed where it takes more than a
 * minute. The same count gives the same inputs.
 *
 *   npx tsx tests/dataset/mutated/run.ts            270 of each kind; writes mutated.json beside this
 *   npx tsx tests/dataset/mutated/run.ts 20 curves  20 of each kind whose name holds the word; writes nothing
 *
 * Exit 1 where an input crashed, hung, or was answered in words of the machine; each is printed with its number.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { KINDS } from './kinds.ts';
import type { Outcome, Trial } from './try-one.ts';

const PATIENCE_MS = 60_000;
const each = Number(process.argv[2] ?? 270);
const word = process.argv[3] ?? '';

const folder = mkdtempSync(join(tmpdir(), 'mutated-'));
const counts: Record<string, Record<Outcome['is'], number>> = {};
const faults: (Trial & { readonly outcome: Outcome })[] = [];
let child: ChildProcess | null = null;

async function started(): Promise<ChildProcess> {
  const made = fork(join(import.meta.dirname, 'child.ts'), [mkdtempSync(join(folder, 'child-'))], {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
  await new Promise((resolve, reject) => {
    made.once('message', resolve);
    made.once('exit', () => reject(new Error('the child did not start')));
  });
  made.removeAllListeners('exit');
  return made;
}

async function tried(trial: Trial): Promise<Outcome> {
  child ??= await started();
  const running = child;
  const outcome = await new Promise<Outcome>((resolve) => {
    const timer = setTimeout(
      () => resolve({ is: 'hang', what: `more than ${PATIENCE_MS / 1000} s` }),
      PATIENCE_MS,
    );
    const done = (result: Outcome) => {
      clearTimeout(timer);
      resolve(result);
    };
    running.once('message', ({ outcome }: { outcome: Outcome }) => done(outcome));
    running.once('exit', (code, signal) =>
      done({ is: 'crash', what: `the program ended (${signal ?? code})` }),
    );
    running.send(trial);
  });
  running.removeAllListeners('message');
  running.removeAllListeners('exit');
  if (outcome.is === 'hang' || running.exitCode !== null || running.signalCode !== null) {
    running.kill('SIGKILL');
    child = null;
  }
  return outcome;
}

try {
  for (const kind of Object.keys(KINDS).filter((name) => name.includes(word))) {
    const count = { valid: 0, refused: 0, crash: 0, 'words of the machine': 0, hang: 0 };
    counts[kind] = count;
    for (let number = 0; number < each; number += 1) {
      const outcome = await tried({ kind, number });
      count[outcome.is] += 1;
      if ('what' in outcome) {
        faults.push({ kind, number, outcome });
        console.error(`${kind} ${number}: ${outcome.is}: ${outcome.what}`);
      }
    }
    console.log(`${kind}: ${JSON.stringify(count)}`);
  }
} finally {
  (child as ChildProcess | null)?.kill();
  rmSync(folder, { recursive: true, force: true });
}
const inputs = Object.values(counts).reduce(
  (sum, count) => sum + Object.values(count).reduce((a, b) => a + b, 0),
  0,
);
console.log(`${inputs} inputs, ${faults.length} faults`);
if (process.argv[2] === undefined)
  writeFileSync(
    new URL('mutated.json', import.meta.url),
    `${JSON.stringify({ seed: 8, each, inputs, counts, faults }, null, 2)}\n`,
  );
process.exitCode = faults.length > 0 ? 1 : 0;
