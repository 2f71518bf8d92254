/** Every command that a document prints, typed in its order in one folder per document, as a reader would. */
import { readFileSync, rmSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { documents, PROJECT, samplesOf } from './documents.ts';
import { BY_CI, readersFolder } from './reader.ts';
import { typeAsReader } from './run-command.ts';
import { shellCommands } from './shell-lines.ts';

const full = process.env.SAMPLES === 'full';
const start = process.cwd();

for (const document of documents()) {
  const samples = samplesOf(document).filter(({ language }) => language === 'sh');
  if (samples.length === 0) continue;
  describe(document, { timeout: full ? 600_000 : 120_000 }, () => {
    let folder = '';
    beforeAll(() => {
      folder = readersFolder();
      process.chdir(folder);
    });
    afterAll(() => {
      process.chdir(start);
      rmSync(folder, { recursive: true, force: true });
    });
    for (const sample of samples)
      for (const command of shellCommands(sample.text, sample.line))
        it(`line ${command.line}: ${command.words.join(' ')}`, async () => {
          const { exit, out, err } = await typeAsReader(command, full);
          expect(exit, `${out}${err}`).toBe(0);
        });
  });
}

it('leaves to the check on a clean checkout only what that runs', () => {
  const script = readFileSync(`${PROJECT}.ci/run`, 'utf8');
  for (const command of BY_CI) expect(script).toContain(command);
});
