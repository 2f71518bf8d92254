import { createHash } from 'node:crypto';
import type * as nbformat from '@jupyterlab/nbformat';
import { visibleText } from '../report/index.ts';
import type { NotebookCell } from './cell.ts';
import type { CellError } from './child-events.ts';
import type { CellOutput, CellRun, NotebookRuns } from './execution.ts';
import { mimeBundle } from './mime-bundle.ts';
import type { NotebookProvenance } from './provenance.ts';

/**
 * A run notebook as the text of an .ipynb file of notebook format 4.5: keys in order, one space of indentation,
 * no time and no path in it, so that the same run gives the same bytes.
 *
 * @see https://nbformat.readthedocs.io/en/latest/format_description.html
 */
export function notebookJson(
  cells: readonly NotebookCell[],
  runs: NotebookRuns,
  provenance: NotebookProvenance,
): string {
  let count = 0;
  const content = {
    cells: cells.map((cell, index) => {
      const common = { id: cellId(cell, index), source: asLines(cell.source) };
      if (cell.kind !== 'code') return { ...common, cell_type: cell.kind, metadata: cellMetadata(cell) };
      const run = runs.get(index) ?? NOT_RUN;
      const executionCount = run.status === 'not-run' ? null : ++count;
      return {
        ...common,
        cell_type: 'code',
        execution_count: executionCount,
        metadata: { ...cellMetadata(cell), proving_range: { status: run.status } },
        outputs:
          run.status === 'not-run'
            ? [{ output_type: 'display_data', data: { 'text/plain': NOT_RUN_WORDS }, metadata: {} }]
            : run.outputs.map((output) => outputJson(output, executionCount)),
      };
    }),
    metadata: {
      kernelspec: { display_name: 'TypeScript', language: 'typescript', name: 'typescript' },
      language_info: {
        codemirror_mode: 'typescript',
        file_extension: '.ts',
        mimetype: 'text/x-typescript',
        name: 'typescript',
        pygments_lexer: 'typescript',
      },
      proving_range: provenance,
    },
    nbformat: 4,
    nbformat_minor: 5,
  };
  return `${JSON.stringify(sortedKeys(content), null, 1)}\n`;
}

const NOT_RUN: CellRun = { status: 'not-run', outputs: [] };
export const NOT_RUN_WORDS = 'Not run: a cell above stopped with an error.';

/** A name for a cell that depends on its place and its source alone. */
function cellId(cell: NotebookCell, index: number): string {
  return createHash('sha256').update(`${index}\n${cell.kind}\n${cell.source}`).digest('hex').slice(0, 16);
}

function cellMetadata(cell: NotebookCell): Record<string, unknown> {
  return cell.title === '' ? { ...cell.metadata } : { ...cell.metadata, title: cell.title };
}

function outputJson(output: CellOutput, executionCount: number | null): nbformat.IOutput {
  switch (output.type) {
    case 'stream':
      return { output_type: 'stream', name: output.name, text: asLines(visibleText(output.text)) };
    case 'cut':
      return { output_type: 'stream', name: 'stderr', text: asLines(`${output.words}\n`) };
    case 'shown': {
      const data = mimeBundle(output.shown) as nbformat.IMimeBundle;
      return output.result
        ? { output_type: 'execute_result', data, execution_count: executionCount, metadata: {} }
        : { output_type: 'display_data', data, metadata: {} };
    }
    case 'error':
      return {
        output_type: 'error',
        ename: visibleText(output.error.name),
        evalue: visibleText(output.error.message),
        traceback: traceback(output.error).map(visibleText),
      };
  }
}

/** The lines an editor shows under a failed cell: where in the notebook, and what was said. */
function traceback({ name, message, line, trail }: CellError): string[] {
  const where = line === null ? name : `${name} in line ${line} of the notebook`;
  return [`${where}: ${message}`, ...(trail.length > 1 ? trail.map((step) => `  ${step}`) : [])];
}

/** A text as the format keeps it: a list of lines, each with its line end. */
function asLines(text: string): string[] {
  return text === '' ? [] : (text.match(/[^\n]*\n|[^\n]+$/g) ?? []);
}

function sortedKeys(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sortedKeys);
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
  return Object.fromEntries(entries.map(([key, inner]) => [key, sortedKeys(inner)]));
}
