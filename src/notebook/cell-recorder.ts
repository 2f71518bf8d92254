import type { ChildEvent, StreamName } from './child-events.ts';
import { toShown } from './to-shown.ts';

/** The name under which the instrumented notebook finds its recorder. */
export const RECORDER = 'proving-range.notebook.recorder';

/** Characters of printed text kept for a cell, and of values shown (as JSON); beyond that it is counted only. */
const PRINTED_KEPT = 100_000;
const SHOWN_KEPT = 8_000_000;

/** What the instrumented notebook calls as it runs, and what is under way. */
export interface CellRecorder {
  begin(cell: number): Promise<void>;
  at(line: number): void;
  result(value: unknown): void;
  show(value: unknown): void;
  print(name: StreamName, text: string): void;
  end(): Promise<void>;
  /** Line of the statement under way; null before the first. */
  line(): number | null;
  /** Whether a cell has begun, and whether the last one has ended. */
  stage(): 'loading' | 'running' | 'ended';
}

/** Turns the calls of a running notebook into events, each cell's output held within bounds. */
export function createCellRecorder(write: (event: ChildEvent) => void): CellRecorder {
  let stage: 'loading' | 'running' | 'ended' = 'loading';
  let line: number | null = null;
  let printedRoom = PRINTED_KEPT;
  let shownRoom = SHOWN_KEPT;
  let cut = 0;
  let cutReported = 0;

  /** Reported at every doubling, so that a cell stopped by force still tells how much it printed. */
  function countCut(characters: number, now: boolean): void {
    cut += characters;
    if (cut === cutReported || (!now && cut < 2 * cutReported)) return;
    cutReported = cut;
    write({ type: 'cut', characters: cut });
  }

  function show(value: unknown, result: boolean): void {
    const shown = toShown(value);
    if (shown === null) return;
    const size = JSON.stringify(shown).length;
    if (size > shownRoom) countCut(size, false);
    else {
      shownRoom -= size;
      write({ type: 'shown', result, shown });
    }
  }

  /** Lets rejections that nobody awaited come to light in the cell that made them. */
  function settle(): Promise<void> {
    return new Promise((resolve) => setImmediate(resolve));
  }

  return {
    async begin(cell) {
      await settle();
      countCut(0, true);
      stage = 'running';
      line = null;
      printedRoom = PRINTED_KEPT;
      shownRoom = SHOWN_KEPT;
      cut = 0;
      cutReported = 0;
      write({ type: 'begin', cell });
    },
    at(next) {
      line = next;
      write({ type: 'at', line });
    },
    result: (value) => show(value, true),
    show: (value) => show(value, false),
    print(name, text) {
      const kept = text.slice(0, printedRoom);
      printedRoom -= kept.length;
      if (kept !== '') write({ type: 'stream', name, text: kept });
      countCut(text.length - kept.length, false);
    },
    async end() {
      await settle();
      countCut(0, true);
      stage = 'ended';
    },
    line: () => line,
    stage: () => stage,
  };
}
