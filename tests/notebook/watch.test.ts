import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { request } from 'node:http';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { type RunNotebookOptions, type RunNotebookResult, watchNotebook } from '../../src/notebook/index.ts';
import { testFolder } from './run-here.ts';

const folder = testFolder();
const LONG_MS = 120_000;

/** What a server of this machine answers when it is asked by a name. */
function status(address: string, host: string): Promise<number> {
  return new Promise((resolve, reject) => {
    request(address, { headers: { host } }, (response) => resolve(response.statusCode ?? 0))
      .on('error', reject)
      .end();
  });
}

/** A watch under way: its address, what it does next, and its end. */
function watching(options: RunNotebookOptions) {
  const end = new AbortController();
  const results: RunNotebookResult[] = [];
  const waiting: ((result: RunNotebookResult) => void)[] = [];
  let ended: Promise<void> = Promise.resolve();
  const opened = new Promise<string>((resolve) => {
    ended = watchNotebook({
      ...options,
      opened: resolve,
      ran: (result) => {
        results.push(result);
        for (const tell of waiting.splice(0)) tell(result);
      },
      signal: end.signal,
    });
  });
  const next = (): Promise<RunNotebookResult> => new Promise((resolve) => waiting.push(resolve));
  const stop = (): Promise<void> => {
    end.abort();
    return ended;
  };
  return { opened, next, results, stop };
}

it(
  'runs a notebook again when it changes, replaces its files whole, tells the open page, and ends when told',
  async () => {
    const path = join(folder, 'watched.ts');
    const outDir = join(folder, 'watched-out');
    await writeFile(path, '// %%\n6 * 7;\n');
    const { opened, next, results, stop } = watching({ path, outDir });
    const address = await opened;
    expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
    const page = () => fetch(`${address}page`).then((response) => response.text());
    expect(await page()).toBe(await readFile(join(outDir, 'watched.html'), 'utf8'));
    expect(await page()).toContain('>42<');

    const changes = await fetch(`${address}changes`);
    const told = changes.body!.getReader();
    await told.read();
    let run = next();
    await writeFile(path, '// %%\n6 * 8;\n');
    expect((await run).ok).toBe(true);
    expect(new TextDecoder().decode((await told.read()).value)).toContain('data: changed');
    expect(await page()).toContain('>48<');

    // A cell that fails is a result like any other; a file that is no notebook leaves the last page as it is.
    run = next();
    await writeFile(path, "// %%\nthrow new Error('broken');\n");
    expect((await run).failedCell).toMatchObject({ line: 2, message: 'broken' });
    const broken = await page();
    expect(broken).toContain('broken');
    run = next();
    await writeFile(path, '// %% [nonsense]\n');
    expect((await run).problems).toHaveLength(1);
    expect(await page()).toBe(broken);
    expect((await readdir(outDir)).sort()).toEqual(['watched.html', 'watched.ipynb']);

    // Another site whose name leads to this machine is not answered.
    expect(await status(`${address}page`, 'elsewhere.example')).toBe(403);
    expect(await status(`${address}other`, new URL(address).host)).toBe(404);

    await stop();
    await expect(fetch(address)).rejects.toThrow();
    expect(results).toHaveLength(4);
  },
  LONG_MS,
);

it(
  'runs it again when a module beside it or the data change, and when a missing module comes, not when nothing changed',
  async () => {
    const home = join(folder, 'followed');
    const dataDir = join(home, 'data');
    const path = join(home, 'follows.ts');
    await mkdir(dataDir, { recursive: true });
    await writeFile(join(dataDir, 'swings.csv'), 'lean\n7\n');
    await writeFile(join(home, 'inner.ts'), 'export const unit: string = "deg";\n');
    await writeFile(join(home, 'helper.ts'), "export { unit } from './inner.ts';\n");
    const text = (name: string): string => `// %%
import { readFile } from 'node:fs/promises';
import { notebook } from 'proving-range/notebook';
import { unit } from './${name}.ts';
(await readFile(notebook.dataDir + '/swings.csv', 'utf8')).split('\\n')[1] + ' ' + unit;
`;
    await writeFile(path, text('helper'));
    // The files of a run among the data are no reason to run again.
    const { opened, next, results, stop } = watching({ path, dataDir, outDir: join(dataDir, 'out') });
    const address = await opened;
    const page = () => fetch(`${address}page`).then((response) => response.text());
    expect(await page()).toContain('7 deg');

    let run = next();
    await writeFile(join(home, 'inner.ts'), 'export const unit: string = "grad";\n');
    expect((await run).ok).toBe(true);
    expect(await page()).toContain('7 grad');

    run = next();
    await writeFile(join(dataDir, 'swings.csv'), 'lean\n8\n');
    await run;
    expect(await page()).toContain('8 grad');

    run = next();
    await writeFile(path, text('later'));
    expect((await run).failedCell).toMatchObject({ name: 'Import', line: 4 });
    run = next();
    await writeFile(join(home, 'later.ts'), "export const unit = 'turns';\n");
    expect((await run).ok).toBe(true);
    expect(await page()).toContain('8 turns');

    // Saved again as it was.
    await writeFile(path, text('later'));
    await writeFile(join(home, 'unrelated.txt'), 'x');
    await new Promise((resolve) => setTimeout(resolve, 1500));
    expect(results).toHaveLength(5);
    await stop();
  },
  LONG_MS,
);
