import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseDocstring } from './docstring.ts';
import type { PublicExport } from './read-exports.ts';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));

/** The public names that stand in one folder of src/, on one page. */
export interface Topic {
  readonly area: string;
  /** Path of the page within the site. */
  readonly path: string;
  readonly title: string;
  /** What the folder's index.ts says of it, as Markdown; empty where it says nothing. */
  readonly words: string;
  readonly members: readonly PublicExport[];
}

/** Folders whose names say too little by themselves. */
const TITLES: Readonly<Record<string, string>> = {
  c3d: 'C3D files',
  csv: 'Captures as CSV',
  linear: 'Linear algebra',
  optimise: 'Minimising a function',
  random: 'Random streams',
  signal: 'Signals',
  integrate: 'Integrals and motion',
  angle: 'Joint angles',
  geometry: 'Geometry of the swing',
  models: 'Models',
  resample: 'Bootstrap',
  sums: 'Sums over groups',
  store: 'Parquet and queries',
  export: 'Archives and comparison',
  finding: 'Findings',
};

/** A folder with fewer public names has no page of its own. */
const FEWEST_ON_A_PAGE = 3;

/** What an index.ts says about its folder. */
export function folderWords(folder: string): string {
  const file = join(ROOT, 'src', folder, 'index.ts');
  if (!existsSync(file)) return '';
  const comment = /^\/\*\*[\s\S]*?\*\//.exec(readFileSync(file, 'utf8'))?.[0];
  return comment === undefined ? '' : parseDocstring(comment).text;
}

const spoken = (folder: string): string => {
  const words = folder.replaceAll('-', ' ');
  return TITLES[folder] ?? `${words[0]!.toUpperCase()}${words.slice(1)}`;
};

/** The folder of a name below its area: one level, and below `models` two. */
function folderOf({ area, file }: PublicExport): string {
  const [first, second, third] = file.split('/').slice(2);
  if (area !== file.split('/')[1] || second === undefined) return '';
  return first === 'models' && third !== undefined ? `${first}/${second}` : first!;
}

/** The topics of one area in the order in which its index.ts offers them; what stands in no folder, or in one with few names, comes first. */
export function topicsOf(area: string, all: readonly PublicExport[]): Topic[] {
  const members = all.filter((one) => one.area === area);
  const sizes = new Map<string, number>();
  for (const one of members) sizes.set(folderOf(one), (sizes.get(folderOf(one)) ?? 0) + 1);
  const home = (one: PublicExport): string =>
    sizes.get(folderOf(one))! < FEWEST_ON_A_PAGE ? '' : folderOf(one);
  const folders = [...new Set(members.map(home))].sort((a, b) => Number(a !== '') - Number(b !== ''));
  return folders.map((folder) => ({
    area,
    path: `library/${area}-${folder === '' ? 'main' : folder.replaceAll('/', '-')}.html`,
    title: folder === '' ? `Main names of ${area}` : folder.split('/').map(spoken).join(': '),
    words: folder === '' ? '' : folderWords(`${area}/${folder}`),
    members: members.filter((one) => home(one) === folder),
  }));
}
