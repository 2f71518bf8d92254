import { mkdtemp, readdir, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, extname, join, resolve } from 'node:path';
import { AlreadyThereError, writeNewFile } from '../../dataset/index.ts';
import { packageIdentity } from '../../notebook/index.ts';
import {
  archiveReadme,
  CRATE_FILE,
  type CrateFile,
  crateMetadata,
  findChromium,
  pagePdf,
  zipArchive,
} from '../../report/index.ts';
import { commandOf, type Finding } from '../../studies/index.ts';
import type { Given } from '../command.ts';
import { consentInWords } from '../export/consent.ts';
import { type NotebookPart, notebookPart, notTheSame, sourceOfRun } from '../export/notebook-part.ts';
import { type Made, type SharedFolder, shareFolder, sharePlan } from '../export/shared-folder.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';
import { askAgain } from '../verify/ask-again.ts';
import { type ReportGiven, reportGiven } from '../verify/report-given.ts';
import { compareReports, filesIn } from '../verify/verify-finding.ts';

/** Packs a report with all that a stranger needs to make it again, and with nobody's data who did not consent. */
export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const out = textOption(given, 'out') ?? '';
  const date = textOption(given, 'date');
  const chromium = given.options.pdf === true ? findChromium() : null;
  const report = await reportGiven(given.arguments[0] ?? '');
  const faults = [
    ...(await unfitOut(out)),
    ...(date === undefined || isDay(date) ? [] : [unfitDate(date)]),
    ...(given.options.pdf === true && chromium === null ? [noChromium()] : []),
    ...(report.kind === 'wrong' ? [report.fault] : []),
  ];
  if (faults.length > 0 || report.kind === 'wrong') return refused(2, faults);
  const scratch = await mkdtemp(join(tmpdir(), 'proving-range-export-'));
  try {
    const parts = await gather(report, given, scratch, progress);
    if (!parts.ok) return parts.result;
    return await pack(parts.value, { out, date, chromium, license: textOption(given, 'license') }, progress);
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}

interface Parts {
  readonly shared: SharedFolder | null;
  readonly plan: { readonly path: string; readonly notes: readonly string[] } | null;
  readonly answer: { readonly finding: Finding; readonly files: ReadonlyMap<string, string> } | null;
  readonly notebook: NotebookPart | null;
  readonly seed: number;
}

async function gather(
  report: Exclude<ReportGiven, { readonly kind: 'wrong' }>,
  given: Given,
  scratch: string,
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
  const shared = data === undefined ? null : await shareFolder(data, join(scratch, 'data'), wanted);
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
  if ((shared?.sharing?.withheld.size ?? 0) === 0) {
    const compared = compareReports(report, files);
    if (compared.exit !== 0) return { ok: false, result: notTheSame(compared) };
  }
  return { ok: true, value: { finding: JSON.parse(files.get('finding.json') ?? '') as Finding, files } };
}

async function pack(
  { shared, plan, answer, notebook, seed }: Parts,
  wanted: {
    readonly out: string;
    readonly date: string | undefined;
    readonly chromium: string | null;
    readonly license: string | undefined;
  },
  progress: Progress,
): Promise<CommandResult> {
  const software = identity();
  const date = wanted.date ?? answer?.finding.provenance.date ?? '';
  if (!isDay(date)) return refused(2, [noDate()]);
  const files: CrateFile[] = [];
  for (const path of shared === null ? [] : await filesUnder(shared.folder))
    files.push({
      path: `data/${path}`,
      content: await readFile(join(shared!.folder, path)),
      name: path,
      description: 'a file of the dataset the answer was made from',
      role: 'input',
    });
  if (plan !== null)
    files.push({
      path: `plan/${basename(plan.path)}`,
      content: await readFile(plan.path),
      name: basename(plan.path),
      description: 'the plan, as it was written',
      role: 'input',
    });
  files.push(...(notebook?.files ?? []));
  for (const [name, content] of answer?.files ?? [])
    files.push({ path: `report/${name}`, content, name, description: reportWords(name), role: 'result' });
  const page = [...(answer?.files ?? [])].find(([name]) => name.endsWith('.html'));
  if (wanted.chromium !== null && page !== undefined) {
    progress.step('Printing the page');
    files.push({
      path: `report/${page[0].replace(/\.html$/, '.pdf')}`,
      content: await pagePdf(wanted.chromium, page[1], date),
      name: page[0].replace(/\.html$/, '.pdf'),
      description: 'the page as a browser prints it; its bytes depend on the browser',
      role: 'about',
    });
  }
  const question = answer?.finding.question ?? notebook?.title ?? '';
  const said = answer?.finding.answer ?? 'A notebook that was run, with all that is needed to run it again.';
  const consent =
    shared === null
      ? 'No data of any person are in this archive.'
      : shared.sharing === null
        ? 'There is no table of golfers, so that nobody’s consent is written down here. Whoever made this archive says that it may be handed on.'
        : consentInWords(shared.sharing);
  const readme = archiveReadme({
    question,
    answer: said,
    software,
    files,
    commands: commands(answer?.finding ?? null, plan, notebook, shared !== null, seed),
    consent,
    notes: [
      ...(shared?.notes ?? []),
      ...(plan?.notes ?? []),
      ...(wanted.date === undefined
        ? [`Dated ${date}, the newest date in the data, and not the day on which it was handed on.`]
        : []),
      'An association is no proof of cause, and an answer about these golfers none about others. Before anyone trains by it, read the cautions on the page.',
    ],
  });
  files.push({
    path: 'README.md',
    content: readme,
    name: 'README',
    description: 'what this is, how to make it again, whose data it holds',
    role: 'about',
  });
  const metadata = crateMetadata({
    name: question,
    description: said,
    datePublished: date,
    license: wanted.license ?? null,
    software,
    measured: answer?.finding.metric ?? null,
    files,
  });
  progress.step('Packing');
  const archive = zipArchive({
    ...Object.fromEntries(files.map(({ path, content }) => [path, content])),
    [CRATE_FILE]: metadata,
  });
  try {
    await writeNewFile(wanted.out, archive);
  } catch (error) {
    if (error instanceof AlreadyThereError) return refused(2, [takenOut(wanted.out)]);
    throw error;
  }
  const where = resolve(wanted.out);
  const names = [...files.map(({ path }) => path), CRATE_FILE].sort();
  const messages = shared?.sharing === null ? [CONSENT_UNKNOWN] : [];
  const words = `${where}\n\n${names.length} files. ${consent}`;
  return {
    exit: 0,
    json: {
      file: where,
      files: names,
      golfers: shared?.sharing?.golfers.size ?? null,
      withheld: shared?.sharing?.withheld.size ?? null,
    },
    text: words,
    messages,
  };
}

const CONSENT_UNKNOWN =
  'There is no table of golfers, so consent could not be looked up: hand this on only where you know that you may.';

function identity(): { readonly name: string; readonly version: string } {
  const { package: name, version } = packageIdentity();
  return { name, version };
}

/** The commands of the README, with ARCHIVE for where it was unpacked. */
function commands(
  finding: Finding | null,
  plan: Parts['plan'],
  notebook: NotebookPart | null,
  hasData: boolean,
  seed: number,
) {
  const data = hasData ? ' --data ARCHIVE/data' : '';
  const planned = plan === null ? '' : ` --plan ARCHIVE/plan/${basename(plan.path)}`;
  const told: { why: string; words: string }[] = [];
  if (finding !== null) {
    told.push({
      why: 'To make the report again in a scratch folder and say whether it is identical:',
      words: `verify ARCHIVE/report${data}${planned}`,
    });
    const asked = commandOf(finding)
      .map((word) =>
        word
          .replace(/^--data FOLDER$/, data.trim())
          .replace(/^--plan PLAN$/, planned.trim())
          .replace(/^--data POINTS$/, `--data ARCHIVE/data/${pointsOf(finding)[0] ?? ''}`)
          .replace(/^--published PUBLISHED$/, `--published ARCHIVE/data/${pointsOf(finding)[1] ?? ''}`),
      )
      .filter((word) => word !== '');
    told.push({ why: 'To have it made anew and keep it:', words: `${asked.join(' ')} --out again` });
  }
  if (notebook !== null) {
    told.push({
      why: 'To run the notebook again and say whether it is identical:',
      words: `verify ARCHIVE/notebook${data}`,
    });
    told.push({
      why: 'To run it anew and keep it:',
      words: `run ARCHIVE/notebook/${notebook.file}${data} --seed ${seed} --out notebook-again`,
    });
  }
  return told;
}

/** The points of an angle, then the published values: the JSON file, or the second by name. */
function pointsOf({ provenance }: Finding): string[] {
  const names = provenance.inputs.map(({ file }) => file);
  return [
    ...names.filter((name) => !name.endsWith('.json')),
    ...names.filter((name) => name.endsWith('.json')),
  ];
}

function reportWords(name: string): string {
  const words: Readonly<Record<string, string>> = {
    '.html': 'the report: one page for a browser, without a network',
    '.csv': 'a table of the report',
    '.svg': 'a figure of the report',
  };
  return name === 'finding.json'
    ? 'the whole answer as data: estimates, checks, cautions, provenance'
    : (words[extname(name)] ?? 'a file of the report');
}

async function filesUnder(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(folder.length + 1)
        .replaceAll('\\', '/'),
    )
    .sort();
}

function isDay(text: string): boolean {
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text));
}

async function unfitOut(out: string): Promise<Fault[]> {
  if (extname(out) !== '.zip')
    return [
      {
        where: '--out',
        found: `"${out}"`,
        expected: 'the name of a new file that ends in .zip',
        remedy: 'add .zip to the name',
      },
    ];
  return (await stat(out).catch(() => null)) === null ? [] : [takenOut(out)];
}

function takenOut(out: string): Fault {
  return {
    where: '--out',
    found: `"${out}", which is there already`,
    expected: 'a file that does not exist yet',
    remedy: 'give another name; nothing was written',
  };
}

function unfitDate(found: string): Fault {
  return { where: '--date', found: `"${found}"`, expected: 'a day as year-month-day', remedy: 'correct it' };
}

function noDate(): Fault {
  return {
    where: '--date',
    found: 'no day, and no date in the data',
    expected: 'the day on which it is handed on, as year-month-day: the metadata must have one',
    remedy: 'give it with --date',
  };
}

function noData(): Fault {
  return {
    where: '--data',
    found: 'no folder',
    expected: 'the folder the notebook was run on',
    remedy: 'name it with --data',
  };
}

function noChromium(): Fault {
  return {
    where: '--pdf',
    found: 'no Chromium on this machine',
    expected: 'a Chromium on the PATH, or its path in the environment variable CHROMIUM',
    remedy: 'install one, or leave --pdf out and print the page from a browser',
  };
}
