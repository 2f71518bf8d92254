import { readFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { asProvenance, readRunNotebook, runNotebook } from '../../notebook/index.ts';
import type { CrateFile } from '../../report/index.ts';
import { type CommandResult, refused } from '../result.ts';
import { jsonBlock, type ReportGiven } from '../verify/report-given.ts';
import { compareRuns, noSource, notOurs, sourceAt } from '../verify/verify-notebook.ts';
import { type Made, refuseNames, type SharedFolder } from './shared-folder.ts';

export interface NotebookPart {
  readonly files: readonly CrateFile[];
  readonly file: string;
  readonly title: string;
}

/** Where the notebook of a run stands, or why it cannot be had. */
export async function sourceOfRun(
  report: Extract<ReportGiven, { readonly kind: 'notebook' }>,
  scratch: string,
  named: string | undefined,
): Promise<Made<{ readonly path: string; readonly seed: number; readonly needsData: boolean }>> {
  const [ipynb, page] = ['.ipynb', '.html'].map(
    (ending) => [...report.files].find(([name]) => name.endsWith(ending))?.[1],
  );
  const ran = ipynb === undefined ? null : readRunNotebook(ipynb);
  const provenance = ran?.provenance ?? asProvenance(jsonBlock(page ?? '', 'provenance'));
  if (provenance === null) return { ok: false, result: refused(2, [notOurs()]) };
  const path = await sourceAt(scratch, provenance, ran, report.folder, named);
  if (path === null) return { ok: false, result: refused(2, [noSource(provenance)]) };
  return { ok: true, value: { path, seed: provenance.seed, needsData: provenance.data.length > 0 } };
}

/**
 * Runs a notebook on the data that are handed on and gives its files. Where it is a run that was to be exported and
 * nobody was left out, it must show what it showed.
 */
export async function notebookPart(
  source: { readonly path: string; readonly seed: number },
  shared: SharedFolder | null,
  scratch: string,
  report: Extract<ReportGiven, { readonly kind: 'notebook' }> | null,
): Promise<Made<NotebookPart>> {
  const text = await readFile(source.path, 'utf8');
  const names = refuseNames('the notebook', text, shared?.sharing ?? null);
  if (names.length > 0) return { ok: false, result: refused(1, names) };
  const run = await runNotebook({
    path: source.path,
    dataDir: shared?.folder ?? null,
    outDir: join(scratch, 'notebook'),
    seed: source.seed,
  });
  if (run.problems.length > 0) return { ok: false, result: refused(2, run.problems) };
  if (run.failedCell !== null)
    return {
      ok: false,
      result: refused(1, [
        {
          where: `the notebook${run.failedCell.line === null ? '' : `, line ${run.failedCell.line}`}`,
          found: `${run.failedCell.name}: ${run.failedCell.message}`,
          expected: 'a notebook that runs to its end on the data that are handed on',
          remedy: 'mend it, or export the report without it',
        },
      ]),
    };
  const fresh = new Map<string, string>();
  for (const file of run.files) fresh.set(basename(file), await readFile(file, 'utf8'));
  const whole = shared?.isWhole !== false;
  if (report !== null && whole) {
    const ipynb = [...report.files].find(([name]) => name.endsWith('.ipynb'))?.[1];
    const ran = ipynb === undefined ? null : readRunNotebook(ipynb);
    const old = ran?.provenance ?? asProvenance(jsonBlock([...report.files][0]?.[1] ?? '', 'provenance'));
    const compared: CommandResult = compareRuns(report.files, fresh, ran, old!);
    if (compared.exit !== 0) return { ok: false, result: notTheSame(compared) };
  }
  const file = basename(source.path);
  const part = (name: string, content: string, role: CrateFile['role'], description: string): CrateFile => ({
    path: `notebook/${name}`,
    content,
    name,
    description,
    role,
  });
  return {
    ok: true,
    value: {
      file,
      title: /^\/\/ # (.+)$/m.exec(text)?.[1] ?? file,
      files: [
        part(file, text, 'input', 'the notebook: a program in percent format, text between its cells'),
        ...[...fresh].map(([name, content]) =>
          part(name, content, 'result', 'the notebook as it was run on the data in data/'),
        ),
      ],
    },
  };
}

/** The report is not what these data give: nothing is packed that a stranger could not make again. */
export function notTheSame({ json, text }: CommandResult): CommandResult {
  return {
    exit: 1,
    json,
    text: '',
    messages: [
      text,
      'Nothing was written: the report is not what these data give now. Make it again, then export that.',
    ],
  };
}
