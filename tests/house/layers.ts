/**
 * The house rule: a folder of src/ imports only from folders below it, and only through their index.ts.
 * Run by `npm run lint`; prints every breach and exits 1.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseSync } from 'oxc-parser';

/** From the ground up. A folder may import from any folder that stands earlier in this list. */
export const FLOORS = [
  'numerics',
  'stats',
  'kinematics',
  'dataset',
  'synthetic',
  'studies',
  'report',
  'notebook',
  'cli',
] as const;

export interface Breach {
  readonly file: string;
  readonly imports: string;
  readonly why: string;
}

function importsOf(path: string, text: string): string[] {
  const { module } = parseSync(path, text);
  const requests = [
    ...module.staticImports.map((entry) => entry.moduleRequest.value),
    ...module.staticExports.flatMap((entry) => entry.entries.flatMap((e) => e.moduleRequest?.value ?? [])),
    ...module.dynamicImports.map((entry) =>
      text.slice(entry.moduleRequest.start + 1, entry.moduleRequest.end - 1),
    ),
  ];
  return requests.filter((request) => request.startsWith('.'));
}

/** Breaches of the rule in one file; `path` and `root` are absolute, `root` being the folder src/. */
export function breachesIn(root: string, path: string, text: string): Breach[] {
  const file = relative(root, path);
  const floor = file.split('/')[0] ?? '';
  const level = FLOORS.indexOf(floor as (typeof FLOORS)[number]);
  if (level < 0)
    return file.includes('/') ? [{ file, imports: '', why: `src/${floor} is no folder of the house` }] : [];
  return importsOf(path, text).flatMap((request) => {
    const target = relative(root, resolve(dirname(path), request));
    if (target.startsWith('..')) return [{ file, imports: request, why: 'reaches outside src/' }];
    const targetFloor = target.split('/')[0] ?? '';
    if (targetFloor === floor) return [];
    const targetLevel = FLOORS.indexOf(targetFloor as (typeof FLOORS)[number]);
    if (targetLevel < 0 || targetLevel > level)
      return [
        { file, imports: request, why: `${floor} may not import from ${targetFloor}, which is above it` },
      ];
    if (target !== `${targetFloor}/index.ts`)
      return [{ file, imports: request, why: `reaches past ${targetFloor}/index.ts` }];
    return [];
  });
}

/** Every breach under `root` (the folder src/). */
export function allBreaches(root: string): Breach[] {
  return readdirSync(root, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .sort()
    .flatMap((name) => breachesIn(root, join(root, name), readFileSync(join(root, name), 'utf8')));
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const breaches = allBreaches(fileURLToPath(new URL('../../src', import.meta.url)));
  for (const breach of breaches) console.error(`src/${breach.file}: ${breach.imports}: ${breach.why}`);
  if (breaches.length > 0) process.exit(1);
}
