import { spawn } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build, type Plugin } from 'esbuild';

/**
 * Bundles a test's child program once, so that hundreds of runs of it start in a moment.
 *
 * @returns the path of the bundle, inside `folder`
 */
export async function bundledChild(source: string, folder: string): Promise<string> {
  const outfile = join(folder, 'child.mjs');
  await build({
    entryPoints: [source],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    logLevel: 'error',
    external: ['@duckdb/*'],
    // The other build of jsonc-parser asks for its parts while it runs, which a bundle does not have.
    mainFields: ['module', 'main'],
    plugins: [ownPlaces],
  });
  return outfile;
}

/** Modules read schemas by their own place, which stays that of the source. */
const ownPlaces: Plugin = {
  name: 'own-places',
  setup({ onLoad }) {
    onLoad({ filter: /\/src\/.*\.ts$/ }, async ({ path }) => ({
      contents: (await readFile(path, 'utf8')).replaceAll(
        'import.meta.url',
        JSON.stringify(pathToFileURL(path).href),
      ),
      loader: 'ts',
    }));
  },
};

/**
 * Runs a bundled child, waits for its first word, and kills it (SIGKILL) so many milliseconds later.
 *
 * @returns whether it was killed at work; false when it had come to its end before
 */
export async function killedAfter(wait: number, child: string, args: readonly string[]): Promise<boolean> {
  const run = spawn(process.execPath, [child, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = new Promise<boolean>((over) => run.once('exit', (_, signal) => over(signal === 'SIGKILL')));
  await Promise.race([new Promise((begun) => run.stdout.once('data', begun)), ended]);
  await new Promise((done) => setTimeout(done, wait));
  run.kill('SIGKILL');
  return ended;
}
