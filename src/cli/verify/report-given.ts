import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, dirname, extname, join } from 'node:path';
import type { Finding } from '../../studies/index.ts';
import type { Fault } from '../result.ts';

/** A report as it lies on the disk: the folder of a Finding, its page alone, or a notebook that was run. */
export type ReportGiven =
  | {
      readonly kind: 'finding';
      readonly folder: string;
      readonly finding: Finding;
      /** The files of the report by name; only the one that was named, where it was a page or a Finding alone. */
      readonly files: ReadonlyMap<string, string>;
      readonly whole: boolean;
    }
  | {
      readonly kind: 'notebook';
      readonly folder: string;
      /** NAME.ipynb and NAME.html, as many as there are. */
      readonly files: ReadonlyMap<string, string>;
    }
  | { readonly kind: 'wrong'; readonly fault: Fault };

const EXPECTED = 'the folder of a report or of a notebook that was run, or its page, finding.json or .ipynb';

/** Reads what was named as a report. Nothing in it is trusted: it is text until it is compared. */
export async function reportGiven(path: string): Promise<ReportGiven> {
  const entry = await stat(path).catch(() => null);
  if (entry === null)
    return wrong(`no file or folder "${path}"`, 'check the spelling and the folder you are in');
  if (entry.isDirectory()) return readFolder(path);
  const text = await readFile(path, 'utf8');
  const name = basename(path);
  const files = new Map([[name, text]]);
  const folder = dirname(path);
  if (extname(name) === '.ipynb') return { kind: 'notebook', folder, files };
  const finding = extname(name) === '.html' ? jsonBlock(text, 'finding') : parsed(text);
  if (isFinding(finding)) return { kind: 'finding', folder, finding, files, whole: false };
  if (extname(name) === '.html' && jsonBlock(text, 'provenance') !== null)
    return { kind: 'notebook', folder, files };
  return wrong(`"${path}", in which there is no Finding`, 'name the folder that --out made');
}

async function readFolder(folder: string): Promise<ReportGiven> {
  const entries = await readdir(folder, { withFileTypes: true });
  const names = entries.filter((entry) => entry.isFile()).map(({ name }) => name);
  const read = async (wanted: readonly string[]): Promise<Map<string, string>> =>
    new Map(
      await Promise.all(
        wanted.map(async (name) => [name, await readFile(join(folder, name), 'utf8')] as const),
      ),
    );
  if (names.includes('finding.json')) {
    const files = await read(names.filter((name) => /\.(?:json|html|csv|svg)$/.test(name)).sort());
    const finding = parsed(files.get('finding.json') ?? '');
    if (isFinding(finding)) return { kind: 'finding', folder, finding, files, whole: true };
    return wrong(`"${join(folder, 'finding.json')}", which is no Finding`, 'name the folder that --out made');
  }
  const notebooks = names.filter((name) => name.endsWith('.ipynb'));
  if (notebooks.length === 1) {
    const page = (notebooks[0] ?? '').replace(/\.ipynb$/, '.html');
    return {
      kind: 'notebook',
      folder,
      files: await read([...notebooks, page].filter((name) => names.includes(name))),
    };
  }
  return wrong(
    notebooks.length === 0
      ? `the folder "${folder}" without a finding.json and without a notebook`
      : `the folder "${folder}" with ${notebooks.length} notebooks`,
    notebooks.length === 0 ? 'name the folder that --out made' : 'name one of the .ipynb files',
  );
}

/** A JSON block of a page, or null where it has none that can be read. */
export function jsonBlock(page: string, id: string): unknown {
  const start = page.indexOf(`<script type="application/json" id="${id}">`);
  if (start < 0) return null;
  const from = page.indexOf('>', start) + 1;
  return parsed(page.slice(from, page.indexOf('</script>', from)));
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function isFinding(value: unknown): value is Finding {
  const finding = value as Partial<Finding> | null;
  return (
    typeof finding === 'object' &&
    finding !== null &&
    typeof finding.study === 'string' &&
    typeof finding.metric?.column === 'string' &&
    Array.isArray(finding.estimates) &&
    Array.isArray(finding.provenance?.inputs) &&
    finding.planned !== undefined
  );
}

function wrong(found: string, remedy: string): ReportGiven {
  return { kind: 'wrong', fault: { where: 'the report', found, expected: EXPECTED, remedy } };
}
