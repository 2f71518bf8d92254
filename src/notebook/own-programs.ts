import { createRequire } from 'node:module';
import { fileURLToPath, pathToFileURL } from 'node:url';

/** The parts of this package that a run starts, in a form that loads at once. */
export interface OwnPrograms {
  /** What node is given to start the process of a notebook: the program, and what goes before it. */
  readonly child: readonly string[];
  /** What draws a run and writes it. */
  loadWriter(): Promise<typeof import('./write-run.ts')>;
}

let found: Promise<OwnPrograms> | undefined;

/**
 * As they were built; or, from the sources, as src/build-sources.mjs makes them. Where that cannot be done, the sources
 * themselves are loaded.
 */
export function ownPrograms(): Promise<OwnPrograms> {
  found ??= findPrograms();
  return found;
}

async function findPrograms(): Promise<OwnPrograms> {
  const here = import.meta.url;
  if (here.endsWith('.js')) return programsIn(new URL('..', here));
  const { buildSources } = (await import(new URL('../build-sources.mjs', here).href)) as {
    buildSources(): Promise<string | null>;
  };
  const built = await buildSources();
  if (built !== null) return programsIn(pathToFileURL(`${built}/`));
  const typescript = pathToFileURL(createRequire(here).resolve('tsx/esm')).href;
  return {
    child: ['--import', typescript, fileURLToPath(new URL('./child.ts', here))],
    loadWriter: () => import('./write-run.ts'),
  };
}

/** @param root the folder in which each area of the package has a folder */
function programsIn(root: URL): OwnPrograms {
  return {
    child: [fileURLToPath(new URL('notebook/child.js', root))],
    loadWriter: () => import(new URL('notebook/write-run.js', root).href),
  };
}
