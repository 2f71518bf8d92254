import { stat } from 'node:fs/promises';
import { basename, extname, join } from 'node:path';
import { commandOf, type Finding } from '../../studies/index.ts';
import type { Given } from '../command.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type Fault, refused } from '../result.ts';
import { askAgain } from '../verify/ask-again.ts';
import type { ReportGiven } from '../verify/report-given.ts';
import { compareReports, filesIn } from '../verify/verify-finding.ts';
import { type NotebookPart, notebookPart, notTheSame, sourceOfRun } from './notebook-part.ts';
import { type Made, type SharedFolder, shareFolder, sharePlan } from './shared-folder.ts';

/** What goes into an archive: made again from what may be handed on, in folders of their own. */
export interface Parts {
  readonly shared: SharedFolder | null;
  readonly plan: { readonly path: string; readonly notes: readonly string[] } | null;
  readonly answer: { readonly finding: Finding; readonly files: ReadonlyMap<string, string> } | null;
  readonly notebook: NotebookPart | null;
  readonly seed: number;
}

/** Makes each part of the archive in `scratch`, or says why it cannot be had. */
export async function gather(
  report: Exclude<ReportGiven, { readonly kind: 'wrong' }>,
  given: Given,
  scratch: string,
  key: Uint8Array | null,
  progress: Progress,
): Promise<Made<Parts>> {
  const [data, planPath, named] = ['data', 'plan', 'notebook'].map((name) => textOption(given, name));
  const source =
    report.kind === 'notebook'
      ? await sourceOfRun(report, scratch, named)
      : named === undefined
        ? null
        : ({ ok: true, value: { path: named, seed: 1, needsData: true } } as const);
  if (source?.ok === false) return source;
  // A notebook lists every file of its folder; a Finding only those it was made from.
  const wanted =
    report.kind === 'finding' && source === null
      ? new Set(report.finding.provenance.inputs.map(({ file }) => file))
      : null;
  progress.step('Looking up what may be handed on');
  const shared = data === undefined ? null : await shareFolder(data, join(scratch, 'data'), wanted, key);
  if (shared?.ok === false) return shared;
  const folder = shared?.value ?? null;
  const plan = await planPart(report, planPath, data, join(scratch, 'plan'), folder);
  if (plan?.ok === false) return plan;
  progress.step('Making the answer again');
  const answer =
    report.kind === 'finding'
      ? await answerPart(report, folder, plan?.value.path, join(scratch, 'report'), progress)
      : null;
  if (answer?.ok === false) return answer;
  const run = report.kind === 'notebook' ? report : null;
  if (source?.value.needsData === true && folder === null)
    return { ok: false, result: refused(2, [noData()]) };
  const notebook =
    source === null
      ? null
      : await notebookPart(source.value, source.value.needsData ? folder : null, scratch, run);
  if (notebook?.ok === false) return notebook;
  return {
    ok: true,
    value: {
      shared: folder,
      plan: plan?.value ?? null,
      answer: answer?.value ?? null,
      notebook: notebook?.value ?? null,
      seed: source?.value.seed ?? 1,
    },
  };
}

/** The plan that was named, or the one of that name beside the data where the report was asked with one. */
async function planPart(
  report: Exclude<ReportGiven, { readonly kind: 'wrong' }>,
  named: string | undefined,
  data: string | undefined,
  folder: string,
  shared: SharedFolder | null,
) {
  if (named !== undefined) return sharePlan(named, folder, shared?.sharing ?? null);
  if (report.kind !== 'finding' || data === undefined) return null;
  if (!commandOf(report.finding).includes('--plan PLAN')) return null;
  for (const { file } of report.finding.provenance.inputs)
    if (extname(file) === '.json' && file !== 'datapackage.json') {
      const path = join(data, basename(file));
      if ((await stat(path).catch(() => null))?.isFile() === true)
        return sharePlan(path, folder, shared?.sharing ?? null);
    }
  return null;
}

/** The question asked again of what is handed on; where nobody is left out, the answer must be the one that was given. */
async function answerPart(
  report: Extract<ReportGiven, { readonly kind: 'finding' }>,
  shared: SharedFolder | null,
  plan: string | undefined,
  out: string,
  progress: Progress,
): Promise<Made<NonNullable<Parts['answer']>>> {
  const again = await askAgain(report.finding, { data: shared?.folder, plan }, out, progress);
  if (again.exit !== 0) return { ok: false, result: again };
  const files = await filesIn(out);
  if (shared?.isWhole !== false) {
    const compared = compareReports(report, files);
    if (compared.exit !== 0) return { ok: false, result: notTheSame(compared) };
  }
  return { ok: true, value: { finding: JSON.parse(files.get('finding.json') ?? '') as Finding, files } };
}

function noData(): Fault {
  return {
    where: '--data',
    found: 'no folder',
    expected: 'the folder the notebook was run on',
    remedy: 'name it with --data',
  };
}
