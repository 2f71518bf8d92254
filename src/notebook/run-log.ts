import type { CellError, ChildEvent } from './child-events.ts';
import type { CellOutput, CellRun, NotebookRuns } from './execution.ts';

/** What a running notebook has reported so far. */
export interface RunLog {
  take(event: ChildEvent): void;
  /** The cell under way, or null before the first. */
  cell(): number | null;
  /** The line of the statement under way, or null. */
  line(): number | null;
  /** Memory held when the watch ended the process, or null. */
  memory_mb(): number | null;
  finished(): boolean;
  failure(): { readonly cell: number; readonly error: CellError } | null;
  /** Sets an error under a cell; the first one counts. */
  fail(cell: number, error: CellError): void;
  runs(): NotebookRuns;
}

/** Gathers events into the outputs of each of the code cells given by index. */
export function createRunLog(codeCells: readonly number[]): RunLog {
  const outputs = new Map<number, CellOutput[]>();
  const cut = new Map<number, number>();
  /** What imported modules print as they load, before any cell: it goes above the first cell's own output. */
  const early: CellOutput[] = [];
  let cell: number | null = null;
  let line: number | null = null;
  let memory_mb: number | null = null;
  let finished = false;
  let failure: { cell: number; error: CellError } | null = null;

  function add(output: CellOutput): void {
    const list = (cell === null ? undefined : outputs.get(cell)) ?? early;
    const last = list.at(-1);
    if (output.type === 'stream' && last?.type === 'stream' && last.name === output.name)
      list[list.length - 1] = { ...last, text: last.text + output.text };
    else list.push(output);
  }

  function fail(at: number, error: CellError): void {
    failure ??= { cell: at, error };
  }

  function runOf(index: number): CellRun {
    const begun = outputs.get(index);
    const failed = failure?.cell === index ? failure.error : null;
    if (begun === undefined && failed === null) return { status: 'not-run', outputs: [] };
    const characters = cut.get(index);
    return {
      status: failed === null ? 'ran' : 'failed',
      outputs: [
        ...(begun ?? early),
        ...(characters === undefined
          ? []
          : [
              {
                type: 'cut' as const,
                words: `Output cut: ${inThousands(characters)} more characters not shown.`,
              },
            ]),
        ...(failed === null ? [] : [{ type: 'error' as const, error: failed }]),
      ],
    };
  }

  return {
    take(event) {
      if (event.type === 'begin') {
        cell = event.cell;
        line = null;
        outputs.set(cell, early.splice(0));
      } else if (event.type === 'at') line = event.line;
      else if (event.type === 'done') finished = true;
      else if (event.type === 'memory') memory_mb = event.used_mb;
      else if (event.type === 'error') fail(event.cell ?? cell ?? codeCells[0] ?? 0, event.error);
      else if (event.type === 'cut') cut.set(cell ?? -1, event.characters);
      else add(event);
    },
    cell: () => cell,
    line: () => line,
    memory_mb: () => memory_mb,
    finished: () => finished,
    failure: () => failure,
    fail,
    runs: () => new Map(codeCells.map((index) => [index, runOf(index)])),
  };
}

/** 1234567 as `1,234,567`. */
export function inThousands(count: number): string {
  return String(count).replace(/\B(?=(?:\d{3})+$)/g, ',');
}
