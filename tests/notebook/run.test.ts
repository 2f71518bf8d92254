import { mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { runNotebook } from '../../src/notebook/index.ts';
import { codeCells, formatErrors, outputText, runText, statuses, testFolder } from './run-here.ts';

const folder = testFolder();

const RICH = `// %% [markdown]
// # A *first* look
//
// Text with <b>tags</b>.

// %% The data tags=["hide-input"]
import { table } from 'arquero';
import { notebook } from 'proving-range/notebook';

interface Row {
  a: number;
  b: string | null;
}
const rows: Row[] = [
  { a: 1, b: 'x' },
  { a: 2.5, b: null },
];
console.log('printed');
console.error('warned');
rows

// %%
table({ a: [1, 2], b: ['x', '<i>'] });

// %%
const figure = {
  id: 'dots',
  title: 'Two dots',
  caption: 'Dots.',
  description: 'Dots at 1 and 2.',
  data: [
    {
      type: 'scatter',
      mode: 'markers',
      name: 'dots',
      x: [1, 2],
      y: [1, 2],
      marker: { color: '#00617f', size: 8, symbol: 'circle' },
    },
  ],
  layout: {
    xaxis: { range: [0, 3], tickvals: [0, 3], ticktext: ['0', '3'] },
    yaxis: { range: [0, 3], tickvals: [0, 3], ticktext: ['0', '3'] },
    height: 200,
  },
  table: { columns: [{ key: 'x', label: 'x' }], rows: [{ x: 1 }, { x: 2 }] },
};
notebook.show(figure);
notebook.show(notebook.markdown('**' + rows.length + '** rows'));
figure

// %%
[notebook.dataDir, notebook.seed, await Promise.resolve('awaited')]

// %%
({ nested: { value: [1, 2] } })

// %%
let steps = 0;
steps += 1;
`;

describe('a notebook that runs', () => {
  it('gives a valid .ipynb of format 4.5 with rich results, and a page, byte for byte the same each time', async () => {
    const dataDir = join(folder, 'data');
    mkdirSync(join(dataDir, 'raw'), { recursive: true });
    writeFileSync(join(dataDir, 'b.csv'), 'abc');
    writeFileSync(join(dataDir, 'raw', 'a.txt'), '');
    const once = await runText(folder, RICH, { dataDir, seed: 7 });
    const again = await runText(folder, RICH, { dataDir, seed: 7 });
    expect(once.result.problems).toEqual([]);
    expect(once.result.failedCell).toBeNull();
    expect(once.result.ok).toBe(true);
    expect(again.ipynb).toBe(once.ipynb);
    expect(again.html).toBe(once.html);

    expect(formatErrors(once.notebook)).toEqual([]);
    const ids = once.notebook.cells.map((cell) => cell.id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(once.ipynb).not.toContain(`${folder.slice(1)}/notebook`);

    const cells = codeCells(once.notebook);
    expect(cells.map((cell) => cell.execution_count)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(cells[0]?.metadata).toMatchObject({ title: 'The data', tags: ['hide-input'] });
    expect(cells[0]?.outputs.map((output) => output.output_type)).toEqual([
      'stream',
      'stream',
      'execute_result',
    ]);
    expect(outputText(cells[0])).toContain('printed');
    expect(outputText(cells[0])).toContain('2.5');
    expect(JSON.stringify(cells[1]?.outputs)).toContain('&lt;i&gt;');
    const media = cells[2]?.outputs.map((output) => Object.keys((output as { data: object }).data));
    const drawing = ['application/vnd.plotly.v1+json', 'image/svg+xml', 'text/plain'];
    expect(media).toEqual([drawing, ['text/html', 'text/markdown', 'text/plain'], drawing]);
    expect(cells[3]?.outputs).toMatchObject([{ data: { 'application/json': [dataDir, 7, 'awaited'] } }]);
    expect(cells[4]?.outputs).toMatchObject([
      { data: { 'application/json': { nested: { value: [1, 2] } } } },
    ]);
    expect(cells[5]?.outputs).toEqual([]);

    // SHA-256 of 'abc' and of nothing: FIPS 180-4 examples.
    expect(once.notebook.metadata.proving_range).toMatchObject({
      seed: 7,
      data: [
        { file: 'b.csv', sha256: 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad' },
        { file: 'raw/a.txt', sha256: 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855' },
      ],
    });
    expect(once.html).toContain('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
    expect(once.html.match(/<h1>/g)).toHaveLength(1);
    expect(once.html).toContain('Text with &lt;b&gt;tags&lt;/b&gt;.');
    expect(once.html.match(/<figure/g)).toHaveLength(2);
  }, 60_000);

  it('keeps its promises outside a project: imports beside it, its own folder, no file left behind', async () => {
    const home = join(folder, 'elsewhere');
    mkdirSync(home);
    writeFileSync(
      join(home, 'helper.ts'),
      "console.log('loading');\nexport const twice = (x: number): number => 2 * x;\n",
    );
    writeFileSync(join(home, 'more.ts'), "export { twice as more } from './helper';\n");
    const text = `// %%
import { twice } from './helper.ts';
import { more } from './more.js';
import { mean } from 'simple-statistics';
[twice(21), mean([1, 2, 3]), import.meta.url.endsWith('/notebook.ts'), typeof import.meta.dirname, more === twice]
`;
    const { notebook } = await runText(home, text, {
      path: join(home, 'notebook.ts'),
      outDir: join(home, 'out'),
    });
    expect(codeCells(notebook)[0]?.outputs).toMatchObject([
      { output_type: 'stream', text: ['loading\n'] },
      { data: { 'application/json': [42, 2, true, 'string', true] } },
    ]);
    expect(readdirSync(home).sort()).toEqual(['helper.ts', 'more.ts', 'notebook.ts', 'out']);
  }, 60_000);
});

describe('a notebook that is reached by a link', () => {
  it('runs, with what stands beside it at its own place', async () => {
    const own = join(folder, 'own-place');
    mkdirSync(own);
    writeFileSync(join(own, 'beside.ts'), 'export const three = 3;\n');
    writeFileSync(join(own, 'linked.ts'), "// %%\nimport { three } from './beside.ts';\nthree + 1\n");
    symlinkSync(own, join(folder, 'link'));
    const result = await runNotebook({
      path: join(folder, 'link', 'linked.ts'),
      outDir: join(folder, 'out-link'),
    });
    expect(result).toMatchObject({ ok: true, failedCell: null, problems: [] });
  });
});

describe('what notebooks/README.md shows', () => {
  it('runs as it stands', async () => {
    const readme = readFileSync(new URL('../../notebooks/README.md', import.meta.url), 'utf8');
    const example = /```ts\n([\s\S]*?)```/.exec(readme)?.[1] ?? '';
    const dataDir = fileURLToPath(new URL('../../synthetic/demo', import.meta.url));
    const { result, notebook } = await runText(folder, example, { dataDir });
    expect(result.failedCell).toBeNull();
    expect(outputText(codeCells(notebook)[0])).toMatch(/full.*\d/);
    const rows = readFileSync(join(dataDir, 'swings.csv'), 'utf8').trim().split(/\r?\n/).length - 1;
    expect(outputText(codeCells(notebook)[1])).toBe(`There are **${rows}** swings.`);
  }, 60_000);
});

describe('the request', () => {
  it('never writes over anything, and says so before running', async () => {
    const outDir = join(folder, 'taken');
    mkdirSync(outDir);
    writeFileSync(join(outDir, 'mine.txt'), 'mine');
    const path = join(folder, 'request.ts');
    writeFileSync(path, '// %%\n1\n');
    const taken = await runNotebook({ path, outDir });
    expect(taken).toMatchObject({ ok: false, files: [], problems: [{ where: 'the output folder' }] });
    const onFile = await runNotebook({ path, outDir: join(outDir, 'mine.txt') });
    expect(onFile).toMatchObject({ ok: false, files: [], problems: [{ where: 'the output folder' }] });
    expect(readdirSync(outDir)).toEqual(['mine.txt']);
    expect(readFileSync(join(outDir, 'mine.txt'), 'utf8')).toBe('mine');
  });

  it('says in words that the place for the output cannot be made, and keeps what stands in its way', async () => {
    const blocker = join(folder, 'blocker');
    writeFileSync(blocker, 'mine');
    const path = join(folder, 'blocked.ts');
    writeFileSync(path, '// %%\n1\n');
    const result = await runNotebook({ path, outDir: join(blocker, 'out') });
    expect(result).toMatchObject({ ok: false, files: [], problems: [{ where: 'the output folder' }] });
    expect(readFileSync(blocker, 'utf8')).toBe('mine');
  }, 60_000);

  it('names every fault at once: no notebook, no data folder, a fault of form', async () => {
    const missing = await runNotebook({
      path: join(folder, 'no.ts'),
      dataDir: join(folder, 'no'),
      outDir: folder,
    });
    expect(missing.problems.map((problem) => problem.where)).toEqual([
      'the notebook',
      'the data folder',
      'the output folder',
    ]);
    const path = join(folder, 'form.ts');
    writeFileSync(path, '// %% [markdown]\nconst stray = 1;\n');
    const outDir = join(folder, 'form-out');
    const form = await runNotebook({ path, outDir });
    expect(form.problems).toMatchObject([{ line: 2 }]);
    expect(readdirSync(folder)).not.toContain('form-out');
  });

  it('shows what stopped a notebook and still writes both files', async () => {
    const { result, notebook, html } = await runText(
      folder,
      '#!/usr/bin/env node\n// %%\n1\n// %%\nnull.x\n// %%\n3\n',
    );
    expect(result.ok).toBe(false);
    expect(result.files).toHaveLength(2);
    expect(result.failedCell).toMatchObject({ index: 1, line: 5, name: 'TypeError' });
    expect(statuses(notebook)).toEqual(['ran', 'failed', 'not-run']);
    expect(formatErrors(notebook)).toEqual([]);
    expect(html).toContain('Not run: a cell above stopped with an error.');
  }, 60_000);
});
