import { lstat, mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import {
  type ImportResult,
  importFile,
  type Mapping,
  proposeMapping,
} from '../../../src/dataset/import/index.ts';

/** Answers that no broken file is about: the visits are baseline, the swings full. */
export function answered(
  mapping: Mapping,
  change: (mapping: Writable<Mapping>) => void = () => undefined,
): Mapping {
  const copy = structuredClone(mapping) as Writable<Mapping>;
  if (copy.sessions.phase === 'ask') copy.sessions.phase = 'baseline';
  if (copy.task === 'ask') copy.task = 'full';
  change(copy);
  return copy as Mapping;
}

export type Writable<T> = {
  -readonly [Key in keyof T]: T[Key] extends object | null | undefined ? Writable<T[Key]> : T[Key];
};

/** Proposes, answers and imports in one go; a refusal at either step comes back as such. */
export async function imported(
  bytes: Uint8Array,
  name: string,
  data: string,
  change?: (mapping: Writable<Mapping>) => void,
): Promise<ImportResult> {
  const proposal = proposeMapping(bytes, name);
  if (!proposal.ok) return { ok: false, problems: proposal.problems, rows: null };
  return importFile({ mapping: answered(proposal.mapping, change), source: bytes, data });
}

/** Everything in a folder, as one text: equal texts are equal folders. */
export async function pictureOf(folder: string): Promise<string> {
  const entry = await lstat(folder).catch(() => null);
  if (entry === null) return '';
  const names = (await readdir(folder, { recursive: true })).sort();
  const parts = await Promise.all(
    names.map(async (name) =>
      (await lstat(join(folder, name))).isFile()
        ? `${name}\n${await readFile(join(folder, name), 'base64')}`
        : name,
    ),
  );
  return parts.join('\n');
}

export async function folderOf(folder: string, files: Readonly<Record<string, string>>): Promise<void> {
  await mkdir(folder, { recursive: true });
  for (const [name, content] of Object.entries(files)) await writeFile(join(folder, name), content);
}

/** Everything that was said, in one text. */
export function saidBy(result: ImportResult): string {
  if (!result.ok) return result.problems.flatMap((one) => Object.values(one)).join('\n');
  const { leftOut, emptied, kept } = result.value;
  return [
    ...leftOut.map(({ line, why }) => `line ${line}: ${why}`),
    ...emptied.map(({ line, found, why }) => `line ${line}: ${found}: ${why}`),
    ...kept.map((one) => JSON.stringify(one)),
  ].join('\n');
}
