/** Every command that a document prints, typed in its order in one folder per document, as a reader would. */
import { readFileSync, writeFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { documents, PROJECT, samplesOf } from './documents.ts';
import { holds, NOT_OUTPUT, ONLY_IN_FULL, quotationsOf } from './quotations.ts';
import { BY_CI, sitDown } from './reader.ts';
import { typeAsReader } from './run-command.ts';
import { shellCommands } from './shell-lines.ts';

const full = process.env.SAMPLES === 'full';

for (const document of documents()) {
  const samples = samplesOf(document);
  if (!samples.some(({ language }) => language === 'sh')) continue;
  describe(document, { timeout: full ? 600_000 : 120_000 }, () => {
    beforeAll(sitDown);
    const said: string[] = [];
    for (const sample of samples) {
      const { file } = sample;
      if (file !== null) it(`line ${sample.line}: saved as ${file}`, () => writeFileSync(file, sample.text));
      if (sample.language !== 'sh') continue;
      for (const command of shellCommands(sample.text, sample.line))
        it(`line ${command.line}: ${command.words.join(' ')}`, async () => {
          const { exit, out, err } = await typeAsReader(command, full);
          expect(exit, `${out}${err}`).toBe(0);
          said.push(out, err);
        });
    }
    it('said what the text says they say', () => {
      const output = said.join('\n').replaceAll(/\s+/g, ' ');
      const wrong = quotationsOf(document).filter(
        ({ text }) =>
          !NOT_OUTPUT.includes(text) && !holds(output, text) && (full || !ONLY_IN_FULL.includes(text)),
      );
      expect(wrong, output).toEqual([]);
    });
  });
}

it('leaves to the check on a clean checkout only what that runs', () => {
  const script = readFileSync(`${PROJECT}.ci/run`, 'utf8');
  for (const command of BY_CI) expect(script).toContain(command);
});
