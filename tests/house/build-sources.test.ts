import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { buildSources } from '../../src/build-sources.mjs';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
it('builds the sources once, with every program that is started by name', async () => {
  const built = await buildSources();
  if (built === null)
    throw new Error('the sources have a fault, or nothing can be written beside the packages');
  expect(await buildSources()).toBe(built);
  const src = join(ROOT, 'src');
  const files = readdirSync(src, { recursive: true, encoding: 'utf8' }).filter((file) =>
    file.endsWith('.ts'),
  );
  const threads = files.flatMap((file) =>
    [...readFileSync(join(src, file), 'utf8').matchAll(/startWorker\(import\.meta\.url, '([^']+)'/g)]
      .map(([, name]) => join(file, '..', `${name}.ts`))
      .filter((program) => existsSync(join(src, program))),
  );
  expect(threads.length).toBeGreaterThan(2);
  const areas = readdirSync(src).filter((name) => existsSync(join(src, name, 'index.ts')));
  const named = ['cli/main.ts', 'notebook/child.ts', 'notebook/write-run.ts', ...threads];
  for (const file of [...named, ...areas.map((area) => `${area}/index.ts`)])
    expect(existsSync(join(built, file.replace(/\.ts$/, '.js'))), file).toBe(true);
}, 60_000);

it('runs the command line from them, which finds the files that lie beside the sources', () => {
  const words = ['check', '--data', join(ROOT, 'synthetic', 'demo'), '--json'];
  const said = execFileSync(process.execPath, [join(ROOT, 'src', 'cli.mjs'), ...words], { encoding: 'utf8' });
  expect(JSON.parse(said)).toMatchObject({ valid: true, rows: { golfers: 36 } });
}, 60_000);

it('takes in the packages of many small files, and leaves out what a notebook may hand over', async () => {
  const built = await buildSources();
  if (built === null) throw new Error('the sources have a fault');
  const texts = readdirSync(built, { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.js'))
    .map((file) => readFileSync(join(built, file), 'utf8'));
  const imported = (name: string): boolean =>
    texts.some((text) => new RegExp(`^import .*from "${name}`, 'm').test(text));
  expect(['@stdlib/', 'ajv', 'commander'].filter(imported)).toEqual([]);
  expect(['arquero', 'papaparse'].filter((name) => !imported(name))).toEqual([]);
}, 60_000);
