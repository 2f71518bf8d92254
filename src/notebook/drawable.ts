import { figureSvg } from '../report/index.ts';
import type { Shown } from './child-events.ts';
import type { CellOutput, CellRun, NotebookRuns } from './execution.ts';

/**
 * The runs with every figure ready to be drawn on one page: each has an id of its own, and a figure that is not
 * well made becomes a text that says why.
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

function drawableValue(shown: Shown, place: string): Shown {
  if (shown.kind !== 'figure') return shown;
  const figure = { ...shown.figure, id: `${place}-${shown.figure.id}` };
  try {
    figureSvg(figure);
    return { kind: 'figure', figure };
  } catch (error) {
    return {
      kind: 'text',
      text: `This figure cannot be drawn: ${error instanceof Error ? error.message : error}`,
    };
  }
}
