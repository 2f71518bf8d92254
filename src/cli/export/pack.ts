import { readdir, readFile } from 'node:fs/promises';
import { basename, extname, join, resolve } from 'node:path';
import { AlreadyThereError, writeNewFile } from '../../dataset/index.ts';
import { packageIdentity } from '../../notebook/index.ts';
import {
  archiveReadme,
  CRATE_FILE,
  type CrateFile,
  crateMetadata,
  pagePdf,
  zipArchive,
} from '../../report/index.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';
import { consentInWords, type Sharing } from './consent.ts';
import type { Parts } from './gather.ts';
import { unportable } from './portable-names.ts';
import { readmeCommands } from './readme-commands.ts';
import { isDay, takenOut } from './request-faults.ts';

/** Writes the archive: the parts, a README, the metadata. */
export async function pack(
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
    commands: readmeCommands(answer?.finding ?? null, plan, notebook, shared !== null, seed),
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
  const names = [...files.map(({ path }) => path), CRATE_FILE].sort();
  const faults = unportable(names);
  if (faults.length > 0) return refused(2, faults);
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
  const sharing = shared?.sharing;
  const messages = [
    ...(sharing === null ? [CONSENT_UNKNOWN] : []),
    ...(sharing !== undefined && sharing !== null && sharing.withheld.size > 0 ? [inPart(sharing)] : []),
  ];
  const words = `${where}\n\n${names.length} files. ${consent}`;
  return {
    exit: 0,
    json: {
      file: where,
      files: names,
      golfers: shared?.sharing?.shown ?? null,
      withheld: shared?.sharing?.withheld.size ?? null,
    },
    text: words,
    messages,
  };
}

const CONSENT_UNKNOWN =
  'There is no table of golfers, so consent could not be looked up: hand this on only where you know that you may.';

/** For whoever makes the archive, and nobody else. */
function inPart({ everybody, withheld, shown }: Sharing): string {
  return `${shown} of ${everybody} golfers are in the archive: ${withheld.size} did not consent to sharing (a minor needs a guardian's consent, consent_by), ${everybody - withheld.size - shown} would have stood out. Its report is about the ${shown}, under codes, and its numbers are not those of your report. Do not hand your report on beside it: from the two, numbers of those left out can be worked out. The export is remembered in .shares.jsonl of the data.`;
}

function identity(): { readonly name: string; readonly version: string } {
  const { package: name, version } = packageIdentity();
  return { name, version };
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

function noDate(): Fault {
  return {
    where: '--date',
    found: 'no day, and no date in the data',
    expected: 'the day on which it is handed on, as year-month-day: the metadata must have one',
    remedy: 'give it with --date',
  };
}
