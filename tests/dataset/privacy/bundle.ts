import { mkdir, mkdtemp, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

/**
 * Bundles a child program that reads the schemas and may load the SQL engine, so that a hundred runs of it start in a
 * moment. Packages stay outside of the bundle, which therefore lies below node_modules; each file keeps its own address.
 *
 * @returns the path of the bundle, alone in a folder of its own, for the caller to remove
 */
export async function bundledWithSchemas(source: string): Promise<string> {
  const modules = fileURLToPath(new URL('../../../node_modules/.cache', import.meta.url));
  await mkdir(modules, { recursive: true });
  const outfile = join(await mkdtemp(join(modules, 'child-')), 'child.mjs');
  await build({
    entryPoints: [source],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    logLevel: 'error',
    plugins: [
      {
        name: 'own-address',
        setup(own) {
          own.onLoad({ filter: /\.ts$/ }, async ({ path }) => ({
            contents: (await readFile(path, 'utf8')).replaceAll(
              'import.meta.url',
              JSON.stringify(pathToFileURL(path).href),
            ),
            loader: 'ts',
          }));
        },
      },
    ],
  });
  return outfile;
}
