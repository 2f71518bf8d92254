/**
 * The samples against the package as it is handed on: builds and packs a copy of the project, installs it into an empty
 * folder and runs there what README and tutorials print: every program, and each command of the README once more from the
 * installed `proving-range`. Takes minutes and the registry, so it is no part of the tests.
 *
 *     npx tsx tests/samples/packed.ts
 */
import { execFileSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PROJECT, samplesOf } from './documents.ts';
import { programSamples, writeProgram } from './programs.ts';
import { READERS_DEEDS, READERS_FILES, readersFolder } from './reader.ts';
import { filesNeeded, wordsOfCli } from './run-command.ts';
import { shellCommands } from './shell-lines.ts';

const run = (cwd: string, program: string, ...words: string[]) =>
  execFileSync(program, words, { cwd, encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });

const copy = mkdtempSync(join(tmpdir(), 'proving-range-packed-'));
for (const part of ['src', 'data-schemas', 'synthetic', 'notebooks'])
  cpSync(`${PROJECT}${part}`, join(copy, part), { recursive: true });
for (const file of [
  'package.json',
  'tsconfig.json',
  'tsconfig.build.json',
  'README.md',
  'LICENSE',
  'CHANGELOG.md',
  'CITATION.cff',
])
  cpSync(`${PROJECT}${file}`, join(copy, file));
symlinkSync(`${PROJECT}node_modules`, join(copy, 'node_modules'));
run(copy, 'npm', 'run', 'build');
const [{ filename, size }] = JSON.parse(run(copy, 'npm', 'pack', '--json', '--ignore-scripts'));
process.stdout.write(`${filename}: ${size} bytes\n`);

const folder = readersFolder();
process.chdir(folder);
writeFileSync('package.json', '{ "type": "module", "private": true }');
run(folder, 'npm', 'install', '--no-audit', '--no-fund', join(copy, filename));

let failed = 0;
const tried = (what: string, work: () => string): void => {
  const begun = process.hrtime.bigint();
  try {
    const said = work();
    if (said === '') throw new Error('it printed nothing');
    process.stdout.write(`good  ${what} (${Math.round(Number(process.hrtime.bigint() - begun) / 1e6)} ms)\n`);
  } catch (error) {
    failed += 1;
    process.stdout.write(`FAULT ${what}\n${error instanceof Error ? error.message : String(error)}\n`);
  }
};

for (const [index, sample] of programSamples().entries()) {
  const file = writeProgram(sample, index);
  tried(`${sample.document}, line ${sample.line}`, () =>
    sample.isNotebook
      ? run(folder, 'npx', 'proving-range', 'run', file, '--data', 'synthetic/demo', '--out', `ran-${index}`)
      : run(folder, 'npx', 'tsx', file),
  );
}

const done = new Set<string>();
for (const { language, text, line } of samplesOf('README.md')) {
  if (language !== 'sh') continue;
  for (const command of shellCommands(text, line)) {
    const words = wordsOfCli(command);
    if (words === null) continue;
    // The programs above have left a roster here; a reader begins without one.
    if (words[0] === 'init') execFileSync('rm', ['-r', words[1]!], { cwd: folder });
    const sentence = words.join(' ');
    for (const [begins, deed] of Object.entries(READERS_DEEDS))
      if (sentence.startsWith(begins) && !done.has(begins)) {
        done.add(begins);
        await deed.does();
      }
    for (const file of filesNeeded(words)) if (!existsSync(file)) await READERS_FILES[file]?.();
    tried(`README.md, line ${command.line}: ${sentence}`, () =>
      run(folder, 'npx', 'proving-range', ...words),
    );
  }
}
const { version } = JSON.parse(readFileSync(join(folder, 'node_modules/proving-range/package.json'), 'utf8'));
process.stdout.write(`${failed} faults with proving-range ${version}\n`);
process.exitCode = failed === 0 ? 0 : 1;
