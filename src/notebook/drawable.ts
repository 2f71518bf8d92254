import type { Shown } from './child-events.ts';
import type { CellOutput, CellRun, NotebookRuns } from './execution.ts';
import { mimeBundle } from './mime-bundle.ts';
import { shownHtml } from './shown-html.ts';

/**
 * The runs with every value ready to be drawn: each figure has an id of its own on the page, and a value that
 * only looks like a figure or a Finding, but cannot be drawn as one, becomes a text that says why.
 */
export function drawable(runs: NotebookRuns): NotebookRuns {
  return new Map(
    [...runs].map(([cell, run]): [number, CellRun] => {
      const outputs = run.outputs.map(
        (output, i): CellOutput =>
          output.type === 'shown'
            ? { ...output, shown: drawableValue(output.shown, `cell-${cell + 1}-${i + 1}`) }
            : output,
      );
      return [cell, { ...run, outputs }];
    }),
  );
}

function drawableValue(given: Shown, place: string): Shown {
  const shown = ofOwnId(given, place);
  try {
    mimeBundle(shown);
    shownHtml(shown, 1);
    return shown;
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return { kind: 'text', text: `This ${shown.kind} cannot be drawn: ${why}` };
  }
}

function ofOwnId(given: Shown, place: string): Shown {
  if (given.kind === 'figure')
    return { kind: 'figure', figure: { ...given.figure, id: `${place}-${given.figure.id}` } };
  if (given.kind === 'motion')
    return { kind: 'motion', motion: { ...given.motion, id: `${place}-${given.motion.id}` } };
  return given;
}
