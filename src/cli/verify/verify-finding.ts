import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { compareDocuments } from '../../report/index.ts';
import type { Finding } from '../../studies/index.ts';
import type { Progress } from '../progress.ts';
import type { CommandResult } from '../result.ts';
import { askAgain, type Places } from './ask-again.ts';
import type { ReportGiven } from './report-given.ts';
import { type ChangedVersion, changedInputs, verdictOf } from './verdict.ts';

/** Asks a report's question again and says what is different. */
export async function verifyFinding(
  report: Extract<ReportGiven, { readonly kind: 'finding' }>,
  places: Places,
  progress: Progress,
): Promise<CommandResult> {
  const scratch = await mkdtemp(join(tmpdir(), 'proving-range-verify-'));
  try {
    const out = join(scratch, 'report');
    const again = await askAgain(report.finding, places, out, progress);
    if (again.exit !== 0) return again;
    return compareReports(report, await filesIn(out));
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}

/** A report set against the files that the same question gives now. */
export function compareReports(
  report: Extract<ReportGiven, { readonly kind: 'finding' }>,
  fresh: ReadonlyMap<string, string>,
): CommandResult {
  const { provenance: was, ...before } = report.finding;
  const { provenance: now, ...after } = JSON.parse(fresh.get('finding.json') ?? '') as Finding;
  const { inputs, package: _, version, definitions, ...restNow } = now;
  const {
    inputs: inputsThen,
    package: __,
    version: versionThen,
    definitions: definitionsThen,
    ...restThen
  } = was;
  const differences = [
    ...compareDocuments(before, after),
    ...compareDocuments({ provenance: restThen }, { provenance: restNow }),
  ];
  const own = [...fresh.keys()].filter((file) => report.whole || report.files.has(file));
  const files = own.flatMap((file) => {
    const lies = report.files.get(file);
    if (lies === undefined) return [{ file, words: 'is missing from the report' }];
    if (lies === fresh.get(file)) return [];
    return [{ file, words: firstLine(lies, fresh.get(file) ?? '') }];
  });
  const versions: ChangedVersion[] = [
    ...(versionThen === version ? [] : [{ what: now.package, was: versionThen, now: version }]),
    ...definitions.flatMap(({ metric, version: own }) => {
      const old = definitionsThen.find((definition) => definition.metric === metric)?.version;
      return old === undefined || old === own
        ? []
        : [{ what: `the definition of ${metric}`, was: old, now: own }];
    }),
  ];
  const changed = changedInputs(inputsThen, inputs);
  // Where the Finding itself differs, so does all that is drawn from it: that need not be told file by file.
  const finds = differences.length > 0 || versions.length > 0 || changed.length > 0;
  return verdictOf({
    made: `${report.finding.study}, ${own.length} ${own.length === 1 ? 'file' : 'files'} of the report made again from ${inputs.length} with ${now.package} ${version}, byte for byte`,
    inputs: changed,
    versions,
    differences,
    files: finds ? files.filter(({ words }) => words.startsWith('is missing')) : files,
  });
}

function firstLine(was: string, now: string): string {
  const [before, after] = [was.split('\n'), now.split('\n')];
  const line = before.findIndex((text, place) => text !== after[place]);
  return `line ${(line < 0 ? before.length : line) + 1} is not what the Finding gives; the file was altered, or made by another version`;
}

/** The files of a folder by name, as text. */
export async function filesIn(folder: string): Promise<Map<string, string>> {
  const names = (await readdir(folder)).sort();
  return new Map(
    await Promise.all(names.map(async (name) => [name, await readFile(join(folder, name), 'utf8')] as const)),
  );
}
