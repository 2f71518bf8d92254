/** Every program that a document prints is checked as any source is, and run; the package is that of the sources. */
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import ts from 'typescript';
import { beforeAll, describe, expect, it } from 'vitest';
import { type as typeCommand } from '../cli/harness.ts';
import { PROJECT } from './documents.ts';
import { programSamples, writeProgram } from './programs.ts';
import { sitDown } from './reader.ts';

const samples = programSamples();

beforeAll(sitDown);

describe('programs', { timeout: 120_000 }, () => {
  it('are right in their types', () => {
    const { config } = ts.readConfigFile(`${PROJECT}tsconfig.json`, ts.sys.readFile);
    const { options } = ts.parseJsonConfigFileContent(config, ts.sys, PROJECT);
    // Beside the sources, where what they import is found; nothing is written there.
    const place = (index: number) => `${PROJECT}tests/samples/sample-${index + 1}.ts`;
    const host = ts.createCompilerHost(options);
    const { getSourceFile, fileExists } = host;
    const texts = new Map(samples.map(({ text }, index) => [place(index), text]));
    host.fileExists = (file) => texts.has(file) || fileExists(file);
    host.getSourceFile = (file, version, ...rest) =>
      texts.has(file)
        ? ts.createSourceFile(file, texts.get(file)!, version)
        : getSourceFile(file, version, ...rest);
    const program = ts.createProgram([...texts.keys()], options, host);
    const faults = [...texts.keys()].flatMap((file) =>
      program
        .getSemanticDiagnostics(program.getSourceFile(file))
        .map(
          ({ messageText }) =>
            `${relative(PROJECT, file)}: ${ts.flattenDiagnosticMessageText(messageText, '\n')}`,
        ),
    );
    expect(faults).toEqual([]);
  });

  it.each(samples.map((sample, index) => ({ ...sample, index })))('$document, line $line', async (sample) => {
    const file = writeProgram(sample, sample.index);
    if (sample.isNotebook) {
      const { exit, out, err } = await typeCommand(
        'run',
        file,
        '--data',
        'synthetic/demo',
        '--out',
        `ran-${file}`,
      );
      expect(exit, `${out}${err}`).toBe(0);
      return;
    }
    writeFileSync('package.json', '{ "type": "module" }');
    const command = [
      join(PROJECT, 'node_modules/tsx/dist/cli.mjs'),
      '--tsconfig',
      `${PROJECT}tsconfig.json`,
      file,
    ];
    const printed = execFileSync(process.execPath, command, { encoding: 'utf8' });
    expect(printed).not.toBe('');
    for (const words of sample.prints) expect(printed).toContain(words);
  });
});
