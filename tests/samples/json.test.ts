/** Every JSON block of a document is what its schema says, and a command beside it uses it. */
import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { expect, it } from 'vitest';
import { documents, PROJECT, type Sample, samplesOf } from './documents.ts';
import { shellCommands } from './shell-lines.ts';

/** By the option that takes such a file. */
const SCHEMAS: Readonly<Record<string, string>> = {
  '--model': 'model',
  '--plan': 'plan',
  '--layout': 'layout',
  '--recipe': 'recipe',
  '--mapping': 'import-mapping',
};

/** Blocks that the text does not say to save, and the file of the commands beside them. */
const UNNAMED: Readonly<Record<string, string>> = { 'README.md': 'model.json' };

const blocks = documents().flatMap((document) =>
  samplesOf(document).filter(({ language }) => language === 'json'),
);

it.each(blocks)('$document, line $line', (block) => {
  const file = block.file ?? UNNAMED[block.document];
  expect(file, 'say in the text "Save as `NAME.json`"').toBeDefined();
  const value = JSON.parse(block.text);
  const options = optionsThatTake(block, file!);
  expect(options, `no command takes ${file}`).not.toEqual([]);
  for (const schema of options.flatMap((option) => SCHEMAS[option] ?? [])) {
    const rules = JSON.parse(readFileSync(`${PROJECT}data-schemas/${schema}.schema.json`, 'utf8'));
    const ajv = new (/2020/.test(rules.$schema) ? Ajv2020 : Ajv)({ strict: false, allErrors: true });
    const valid = ajv.compile(rules);
    expect(valid(value), JSON.stringify(valid.errors, null, 1)).toBe(true);
  }
});

function optionsThatTake({ document }: Sample, file: string): readonly string[] {
  const commands = samplesOf(document)
    .filter(({ language }) => language === 'sh')
    .flatMap(({ text, line }) => shellCommands(text, line));
  return commands.flatMap(({ words }) => words.filter((_, i) => words[i + 1] === file));
}
