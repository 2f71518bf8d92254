import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { pathToFileURL } from 'node:url';
import type { NotebookCell } from './cell.ts';
import type { CellError, ChildEvent, ChildOrder } from './child-events.ts';
import type { NotebookRuns } from './execution.ts';
import { planModule } from './module-plan.ts';
import { ownPrograms } from './own-programs.ts';
import { createRunLog, type RunLog } from './run-log.ts';

/** Seconds that loading may take at least: it depends on the machine more than on the notebook. */
const LOADING_S = 30;

export interface RunLimits {
  /** Seconds a cell may take. Loading the imports may take as long, or {@link LOADING_S} if that is longer. */
  readonly cellTimeLimit_s: number;
  /** Memory the notebook's process may hold, in MB. */
  readonly memoryLimit_mb: number;
}

/** What the notebook is given, and where it stands. */
export interface RunGiven {
  readonly path: string;
  readonly dataDir: string | null;
  readonly seed: number;
}

export interface CellsRun {
  readonly runs: NotebookRuns;
  readonly failure: { readonly cell: number; readonly error: CellError } | null;
}

/**
 * Runs the code cells of a notebook in a process of its own, in order, until one fails. What goes wrong in a cell,
 * or with its process, is an error under that cell, never thrown.
 *
 * @param whenStarted called once the process is under way, for work that can be done meanwhile
 */
export async function runCells(
  text: string,
  cells: readonly NotebookCell[],
  given: RunGiven,
  limits: RunLimits,
  whenStarted: () => void,
): Promise<CellsRun> {
  const codeCells = cells.flatMap((cell, index) => (cell.kind === 'code' ? [index] : []));
  const log = createRunLog(codeCells);
  const plan = await planModule(given.path, text, cells);
  const sound = codeCells.filter((index) => plan.fault === null || index < plan.fault.cell);
  if (sound.length > 0) {
    const url = pathToFileURL(given.path).href;
    const { dataDir, seed } = given;
    const { code, imports } = plan;
    await runChild(
      { url, code, imports, dataDir, seed, memoryLimit_mb: limits.memoryLimit_mb },
      limits,
      log,
      sound,
      whenStarted,
    );
  }
  if (plan.fault !== null) {
    const { cell, line, message } = plan.fault;
    log.fail(cell, { name: 'Syntax', message, line, trail: [] });
  }
  return { runs: log.runs(), failure: log.failure() };
}

async function runChild(
  order: ChildOrder,
  limits: RunLimits,
  log: RunLog,
  cells: readonly number[],
  whenStarted: () => void,
): Promise<void> {
  const { child: program } = await ownPrograms();
  const child = spawn(process.execPath, [`--max-old-space-size=${limits.memoryLimit_mb}`, ...program], {
    stdio: ['pipe', 'pipe', 'pipe', 'pipe'],
    env: childEnvironment(),
  });
  let overTime = false;
  const clock = createClock(() => {
    overTime = true;
    child.kill('SIGKILL');
  });
  clock.start(Math.max(LOADING_S, limits.cellTimeLimit_s));
  const lastWords = keepEnd(child.stderr as Readable);
  (child.stdout as Readable).resume();
  child.stdin?.on('error', () => undefined);
  child.stdin?.end(JSON.stringify(order), whenStarted);
  const events = createInterface({ input: child.stdio[3] as Readable });
  events.on('line', (line) => {
    const event = parseEvent(line);
    if (event === null) return;
    if (event.type === 'begin') clock.start(limits.cellTimeLimit_s);
    log.take(event);
  });
  const [end] = await Promise.all([
    new Promise<{ code: number | null; signal: string | null }>((resolve, reject) => {
      child.on('error', reject);
      child.on('exit', (code, signal) => resolve({ code, signal }));
    }),
    new Promise((resolve) => events.on('close', resolve)),
  ]);
  clock.stop();
  if (log.finished() || log.failure() !== null) return;
  const error = whyItEnded({ ...end, overTime, lastWords: lastWords(), limits, log });
  log.fail(log.cell() ?? order.imports[0]?.cell ?? cells[0] ?? 0, error);
}

/** The same surroundings on every machine: no colours, one time zone, one language, no options from outside. */
function childEnvironment(): NodeJS.ProcessEnv {
  const { NODE_OPTIONS: _options, FORCE_COLOR: _color, ...rest } = process.env;
  return { ...rest, NO_COLOR: '1', TZ: 'UTC', LC_ALL: 'en_US.UTF-8' };
}

function createClock(ring: () => void): { start(limit_s: number): void; stop(): void } {
  let timer: NodeJS.Timeout | undefined;
  return {
    start(limit_s) {
      clearTimeout(timer);
      timer = setTimeout(ring, limit_s * 1000);
    },
    stop: () => clearTimeout(timer),
  };
}

/** Keeps the last words of a stream: what the JavaScript engine says when it gives up. */
function keepEnd(stream: Readable): () => string {
  let kept = '';
  stream.setEncoding('utf8').on('data', (text: string) => {
    kept = (kept + text).slice(-4000);
  });
  return () => kept;
}

/** A process killed in the middle of a line leaves half a line, and a notebook may write lines of its own. */
function parseEvent(line: string): ChildEvent | null {
  try {
    const event = JSON.parse(line) as ChildEvent | null;
    return typeof event === 'object' && typeof event?.type === 'string' ? event : null;
  } catch {
    return null;
  }
}

function whyItEnded(end: {
  readonly code: number | null;
  readonly signal: string | null;
  readonly overTime: boolean;
  readonly lastWords: string;
  readonly limits: RunLimits;
  readonly log: RunLog;
}): CellError {
  const line = end.log.line();
  const because = (name: string, message: string): CellError => ({ name, message, line, trail: [] });
  const { cellTimeLimit_s, memoryLimit_mb } = end.limits;
  if (end.overTime)
    return because('Time limit', `stopped after ${cellTimeLimit_s} s, the time one cell may take`);
  if (end.log.memory_mb() !== null || /heap out of memory/i.test(end.lastWords))
    return because(
      'Memory limit',
      `stopped: the notebook needed more than the ${memoryLimit_mb} MB it may use`,
    );
  if (end.signal !== null) return because('Stopped', `the notebook's process was ended by ${end.signal}`);
  return because('Stopped', `the cell ended the notebook's process itself (exit code ${end.code})`);
}
