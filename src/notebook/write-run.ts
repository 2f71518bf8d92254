import { basename, extname, join } from 'node:path';
import { AlreadyThereError, writeNewFolder } from '../dataset/index.ts';
import type { NotebookCell } from './cell.ts';
import { drawable } from './drawable.ts';
import type { NotebookRuns } from './execution.ts';
import { notebookJson } from './ipynb.ts';
import { notebookPage } from './page.ts';
import type { NotebookProvenance } from './provenance.ts';

/** The files of a run, written; or, as a text, why they could not be. */
export async function writeRun(
  outDir: string,
  cells: readonly NotebookCell[],
  runs: NotebookRuns,
  provenance: NotebookProvenance,
): Promise<readonly string[] | string> {
  const drawn = drawable(runs);
  const name = basename(provenance.notebook.file, extname(provenance.notebook.file));
  const files = {
    [`${name}.ipynb`]: notebookJson(cells, drawn, provenance),
    [`${name}.html`]: notebookPage(cells, drawn, provenance),
  };
  try {
    await writeNewFolder(outDir, files);
    return Object.keys(files).map((file) => join(outDir, file));
  } catch (error) {
    if (error instanceof AlreadyThereError) return 'was filled while the notebook ran';
    // A full disk is no fault of the folder's name: whoever runs says so, with what to do.
    if (['ENOSPC', 'EDQUOT'].includes((error as NodeJS.ErrnoException).code ?? '')) throw error;
    return `cannot be written (${error instanceof Error ? error.message : error})`;
  }
}
