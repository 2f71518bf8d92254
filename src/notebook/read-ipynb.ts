import type { CellKind } from './cell.ts';
import { formatPercent } from './format-percent.ts';
import type { NotebookProvenance } from './provenance.ts';

/** A notebook that was run, as its .ipynb says. */
export interface RunNotebook {
  readonly provenance: NotebookProvenance;
  /**
   * Its text in percent format, or null where it cannot be written in that form. It is the text that was run where
   * its SHA-256 is that of `provenance.notebook`: one with a header, say, comes back without it.
   */
  readonly source: string | null;
  readonly cells: readonly RunNotebookCell[];
}

/** One cell of a notebook that was run, with what it showed. */
export interface RunNotebookCell {
  readonly kind: CellKind;
  readonly outputs: readonly Readonly<Record<string, unknown>>[];
}

/**
 * Reads the .ipynb that `runNotebook` wrote; null where the text is not such a notebook.
 *
 * @example readRunNotebook('{}') // null
 * @example
 * const proving_range = { package: 'proving-range', version: '1.0.0', seed: 1, notebook: { file: 'a.ts', sha256: '' }, data: [] };
 * const cells = [{ cell_type: 'code', metadata: {}, source: ['1 + 1'], outputs: [] }];
 * readRunNotebook(JSON.stringify({ metadata: { proving_range }, cells }))?.cells // [{ kind: 'code', outputs: [] }]
 */
export function readRunNotebook(ipynb: string): RunNotebook | null {
  const content = parsed(ipynb) as {
    readonly metadata?: { readonly proving_range?: unknown };
    readonly cells?: readonly Readonly<Record<string, unknown>>[];
  } | null;
  const provenance = asProvenance(content?.metadata?.proving_range);
  if (provenance === null || !Array.isArray(content?.cells)) return null;
  const cells = content.cells.map((cell) => ({
    kind: (['code', 'markdown', 'raw'] as const).find((kind) => kind === cell.cell_type) ?? 'raw',
    outputs: Array.isArray(cell.outputs) ? (cell.outputs as Readonly<Record<string, unknown>>[]) : [],
  }));
  return { provenance, source: sourceOf(content.cells), cells };
}

/**
 * What a run came from, from the JSON of its page or .ipynb; null where a part of it is missing.
 *
 * @example
 * const whole = { package: 'proving-range', version: '1.0.0', seed: 1, notebook: { file: 'a.ts', sha256: '' }, data: [] };
 * asProvenance(whole)?.notebook.file // 'a.ts'
 * asProvenance({ ...whole, seed: undefined }) // null
 */
export function asProvenance(value: unknown): NotebookProvenance | null {
  const found = value as Partial<NotebookProvenance> | null | undefined;
  const whole =
    typeof found?.package === 'string' &&
    typeof found.version === 'string' &&
    typeof found.seed === 'number' &&
    typeof found.notebook?.file === 'string' &&
    typeof found.notebook.sha256 === 'string' &&
    Array.isArray(found.data);
  return whole ? (found as NotebookProvenance) : null;
}

function sourceOf(cells: readonly Readonly<Record<string, unknown>>[]): string | null {
  try {
    return formatPercent({
      header: '',
      cells: cells.map(({ cell_type, metadata, source }) => {
        const { title = '', proving_range: _, ...rest } = (metadata ?? {}) as Record<string, unknown>;
        return {
          kind: cell_type as CellKind,
          title: String(title),
          metadata: rest,
          source: [source ?? ''].flat().join(''),
        };
      }),
    });
  } catch {
    return null;
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
