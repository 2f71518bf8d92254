/** One line of import-log.jsonl: one action, and why. It holds codes of golfers and never a name that stood in the sheet. */
export type LogEntry = Readonly<Record<string, string | number | boolean | null | object>>;

export const LOG_FILE = 'import-log.jsonl';

/** What an import came to: every row of the sheet is in exactly one of the other counts. */
export interface Counts {
  readonly rows: number;
  readonly imported: number;
  readonly joined: number;
  readonly alreadyThere: number;
  readonly leftOut: number;
}

/** @throws Error when a row is not accounted for, which would be a fault of ours: nothing is written then */
export function assertAllCounted(counts: Counts): void {
  const { rows, imported, joined, alreadyThere, leftOut } = counts;
  if (rows !== imported + joined + alreadyThere + leftOut)
    throw new Error(
      `importFile: of ${rows} rows ${imported + joined + alreadyThere + leftOut} are accounted for. Nothing was written.`,
    );
}

interface Past {
  readonly number: number;
  /** null where nothing of the sheet was left once a golfer was erased. */
  readonly source: string | null;
  readonly mapping: string | null;
}

/** The imports that a log tells of. A line that is no JSON is passed over: the log is read, never believed. */
export function pastImports(log: string): readonly Past[] {
  const past: Past[] = [];
  for (const line of linesOf(log)) {
    if (!line.includes('"what":"file"')) continue;
    try {
      const {
        import: number,
        source_sha256: source,
        mapping_sha256: mapping,
      } = JSON.parse(line) as Record<string, unknown>;
      if (typeof number === 'number' && isHash(source) && isHash(mapping))
        past.push({ number, source, mapping });
    } catch {
      // Not ours.
    }
  }
  return past;
}

const isHash = (value: unknown): value is string | null => value === null || typeof value === 'string';

const WRITTEN_AT_ONCE = 2 ** 20;

/** The log as it will be, a megabyte at a time: what it said before, then a line for each entry. */
export function* logBehind(before: string, entries: Iterable<LogEntry>): IterableIterator<string> {
  yield before === '' || before.endsWith('\n') ? before : `${before}\n`;
  let waiting = '';
  for (const entry of entries) {
    waiting += `${JSON.stringify(entry)}\n`;
    if (waiting.length < WRITTEN_AT_ONCE) continue;
    yield waiting;
    waiting = '';
  }
  yield waiting;
}

function* linesOf(text: string): IterableIterator<string> {
  for (let at = 0; at < text.length; ) {
    const end = text.indexOf('\n', at);
    yield text.slice(at, end < 0 ? text.length : end);
    at = end < 0 ? text.length : end + 1;
  }
}
