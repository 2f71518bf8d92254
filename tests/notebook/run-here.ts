import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type * as nbformat from '@jupyterlab/nbformat';
import { Ajv } from 'ajv';
import { afterAll } from 'vitest';
import { type RunNotebookOptions, type RunNotebookResult, runNotebook } from '../../src/notebook/index.ts';

export interface Ran {
  readonly result: RunNotebookResult;
  readonly ipynb: string;
  readonly html: string;
  readonly notebook: nbformat.INotebookContent;
}

/** A folder of this test file's own, removed when its tests are over. */
export function testFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'proving-range-notebook-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

let count = 0;

/** Writes the text as a notebook, runs it, and reads both files back. */
export async function runText(
  folder: string,
  text: string,
  options: Partial<RunNotebookOptions> = {},
): Promise<Ran> {
  const path = options.path ?? join(folder, 'notebook.ts');
  writeFileSync(path, text);
  const outDir = options.outDir ?? join(folder, `out-${++count}`);
  const result = await runNotebook({ cellTimeLimit_s: 60, ...options, path, outDir });
  const read = (ending: string): string => {
    const file = result.files.find((name) => name.endsWith(ending));
    if (file === undefined) throw new Error(`no ${ending} was written: ${JSON.stringify(result.problems)}`);
    return readFileSync(file, 'utf8');
  };
  const ipynb = read('.ipynb');
  return { result, ipynb, html: read('.html'), notebook: JSON.parse(ipynb) as nbformat.INotebookContent };
}

/** What the schema that the Jupyter project publishes finds wrong; see tests/reference/nbformat/README.md. */
export function formatErrors(notebook: nbformat.INotebookContent): unknown[] {
  const { $schema: _draft4, ...schema } = JSON.parse(
    readFileSync(new URL('../reference/nbformat/nbformat.v4.5.schema.json', import.meta.url), 'utf8'),
  );
  const validate = new Ajv({ strict: false }).compile(schema);
  validate(notebook);
  return validate.errors ?? [];
}

export function codeCells(notebook: nbformat.INotebookContent): nbformat.ICodeCell[] {
  return notebook.cells.filter((cell): cell is nbformat.ICodeCell => cell.cell_type === 'code');
}

/** `ran`, `failed` or `not-run` of each code cell. */
export function statuses(notebook: nbformat.INotebookContent): unknown[] {
  return codeCells(notebook).map((cell) => (cell.metadata.proving_range as { status: unknown }).status);
}

/** All text of a cell's outputs, errors included. */
export function outputText(cell: nbformat.ICodeCell | undefined): string {
  return (cell?.outputs ?? [])
    .map((output) => {
      if ('traceback' in output) return (output.traceback as string[]).join('\n');
      if ('text' in output) return [output.text].flat().join('');
      return String((output as nbformat.IDisplayData).data['text/plain']);
    })
    .join('\n');
}
