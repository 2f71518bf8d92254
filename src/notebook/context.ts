/** What the runner gives a notebook; the recorder in the child process puts it in place. */
export interface NotebookContext {
  readonly dataDir: string | null;
  readonly seed: number;
  show(value: unknown): void;
}

/** The name under which a running notebook finds its context. */
export const CONTEXT = Symbol.for('proving-range.notebook.context');

/** Text to be set as prose, from {@link notebook}.markdown. */
export class MarkdownText {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

function context(asked: string): NotebookContext {
  const found = (globalThis as { [CONTEXT]?: NotebookContext })[CONTEXT];
  if (found === undefined)
    throw new Error(
      `notebook.${asked}: this file is not being run as a notebook; run it with: proving-range run NOTEBOOK --data DIR --out DIR`,
    );
  return found;
}

/**
 * What a notebook asks of its runner.
 *
 * @example
 * import { notebook } from 'proving-range/notebook';
 * notebook.markdown(`**${dataset.tables.golfers.length} golfers**`) // { text: '**36 golfers**' }
 */
export const notebook = {
  /** The folder of data the notebook was given, as it was typed. Throws when it was given none. */
  get dataDir(): string {
    const { dataDir } = context('dataDir');
    if (dataDir === null)
      throw new Error('notebook.dataDir: no folder of data was given; run the notebook with --data DIR');
    return dataDir;
  },
  /** The seed for every random stream of the notebook, so that a second run gives the same bytes. */
  get seed(): number {
    return context('seed').seed;
  },
  /**
   * Shows a value under the cell at once. The last expression of a cell is shown without asking. Drawn as what
   * they are: figures, motion pictures, Findings, tables (of a figure, of arquero, or a list of like records), prose; all else as
   * text.
   */
  show(value: unknown): void {
    context('show').show(value);
  },
  /** Text in Markdown to be set as prose; show it, or leave it as the last expression of a cell. */
  markdown(text: string): MarkdownText {
    return new MarkdownText(text);
  },
} as const;
