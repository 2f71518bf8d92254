import { cpSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { documents, PROJECT, type Sample, samplesOf } from './documents.ts';

/** A program that a document prints, and what the text says of its output. */
export interface ProgramSample extends Sample {
  /** A notebook, which is run by `run`. */
  readonly isNotebook: boolean;
  /** Words in code of the first sentence after it that begins with "It prints". */
  readonly prints: readonly string[];
}

/** Every program of the documents. */
export function programSamples(): readonly ProgramSample[] {
  return documents().flatMap((document) =>
    samplesOf(document)
      .filter(({ language }) => language === 'ts')
      .map((sample) => ({
        ...sample,
        isNotebook: /^\/\/ %%/m.test(sample.text),
        prints: printedAfter(document, sample),
      })),
  );
}

function printedAfter(document: string, { line, text }: Sample): readonly string[] {
  const after = readFileSync(`${PROJECT}${document}`, 'utf8')
    .split('\n')
    .slice(line + text.trimEnd().split('\n').length)
    .join('\n')
    .trim();
  const sentence = /^It prints [^\n]*/.exec(after)?.[0] ?? '';
  return [...sentence.matchAll(/`([^`]+)`/g)].map(([, words]) => words!.replace(/\.\.\.$/, ''));
}

/** Writes a program into the working folder, beside what it reads, and gives its name. */
export function writeProgram({ text }: ProgramSample, index: number): string {
  if (text.includes('my-roster') && !existsSync('my-roster'))
    cpSync('synthetic/demo', 'my-roster', { recursive: true });
  const file = `program-${index + 1}.ts`;
  writeFileSync(file, text);
  return file;
}
