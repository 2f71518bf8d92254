import { type FileHandle, mkdir, open, rm, rmdir } from 'node:fs/promises';
import { dirname } from 'node:path';
import { codeOf } from '../new-files.ts';
import { NoRegularFileError, readRegularFile } from '../read-regular-file.ts';
import type { Outcome } from './measure-one.ts';

/** The log of what was measured, in the folder it was measured into: one JSON document a line. */
export const LOG_FILE = 'measure-log.jsonl';

const FIRST_LINE = { log: 'measured captures', version: 1 };

export interface LogEntry {
  readonly key: string;
  readonly file: string;
  readonly sha256: string;
  readonly layoutSha256: string;
  readonly measuredBy: string;
  readonly outcome: Outcome;
}

export interface ReadLog {
  readonly outcomes: ReadonlyMap<string, Outcome>;
  /** Hashes that each file of ours has had, by path. */
  readonly written: ReadonlyMap<string, ReadonlySet<string>>;
}

/** Reads a log; null where there is none, or the file is no log of ours. A line cut by a kill is passed over. */
export async function readLog(path: string): Promise<ReadLog | null> {
  let text: string;
  try {
    text = await readRegularFile(path).then(String);
  } catch (error) {
    if (codeOf(error) === 'ENOENT' || error instanceof NoRegularFileError) return null;
    throw error;
  }
  const [first, ...lines] = text.split('\n');
  const head = parsed(first ?? '') as Partial<typeof FIRST_LINE> | null;
  // Nothing but a beginning of our first line: the very first write was cut.
  const cutAtOnce = lines.length === 0 && JSON.stringify(FIRST_LINE).startsWith(first ?? '');
  if (head?.log !== FIRST_LINE.log && !cutAtOnce) return null;
  const outcomes = new Map<string, Outcome>();
  const written = new Map<string, Set<string>>();
  for (const line of lines) {
    const entry = parsed(line) as (Partial<LogEntry> & { written?: Record<string, string> }) | null;
    if (entry === null) continue;
    if (entry.key !== undefined && entry.outcome !== undefined) outcomes.set(entry.key, entry.outcome);
    for (const [file, sha256] of Object.entries(entry.written ?? {}))
      written.set(file, (written.get(file) ?? new Set()).add(sha256));
  }
  return { outcomes, written };
}

export interface OpenLog {
  add(entry: LogEntry): Promise<void>;
  /** Says, before it happens, which files of ours are about to be written; safe on disk when it returns. */
  aboutToWrite(sha256ByFile: Readonly<Record<string, string>>): Promise<void>;
  close(): Promise<void>;
}

/** Opens a log to add to it, and begins it where there is none. */
export async function openLog(path: string): Promise<OpenLog> {
  await mkdir(dirname(path), { recursive: true });
  const handle = await open(path, 'a+');
  const { size } = await handle.stat();
  try {
    await begin(handle, size);
  } catch (error) {
    await handle.close();
    if (size === 0) {
      // A folder with nothing but an empty log would be taken for somebody else's the next time.
      await rm(path, { force: true });
      await rmdir(dirname(path)).catch(() => undefined);
    }
    throw error;
  }
  // One write at a time, so that lines never mix.
  let queue: Promise<unknown> = Promise.resolve();
  const append = (value: unknown): Promise<void> => {
    const turn = queue.then(() => handle.appendFile(`${JSON.stringify(value)}\n`));
    queue = turn.catch(() => undefined);
    return turn;
  };
  return {
    add: append,
    async aboutToWrite(sha256ByFile) {
      await append({ written: sha256ByFile });
      await handle.sync();
    },
    async close() {
      await queue;
      await handle.close();
    },
  };
}

async function begin(handle: FileHandle, size: number): Promise<void> {
  const head = `${JSON.stringify(FIRST_LINE)}\n`;
  if (size < head.length) {
    await handle.truncate(0);
    await handle.appendFile(head);
    return;
  }
  const last = Buffer.alloc(1);
  await handle.read(last, 0, 1, size - 1);
  // The line that a kill cut stays where it is and is passed over; the next one starts afresh.
  if (last.toString() !== '\n') await handle.appendFile('\n');
}

function parsed(line: string): object | null {
  try {
    const value: unknown = JSON.parse(line);
    return typeof value === 'object' ? value : null;
  } catch {
    return null;
  }
}
