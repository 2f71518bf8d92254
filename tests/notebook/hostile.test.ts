import { describe, expect, it } from 'vitest';
import { codeCells, outputText, runText, statuses, testFolder } from './run-here.ts';

const folder = testFolder();
const LONG_MS = 90_000;

/** A notebook whose first cell is good, whose second is given (from line 5 on), and whose third is good. */
function around(cell: string): string {
  return `// %%\n'first';\n\n// %%\n${cell}\n\n// %%\n'last';\n`;
}

async function failing(cell: string, options = {}) {
  const ran = await runText(folder, around(cell), options);
  expect(ran.result.ok).toBe(false);
  expect(ran.result.files).toHaveLength(2);
  expect(ran.result.failedCell?.index).toBe(1);
  expect(outputText(codeCells(ran.notebook)[2])).toBe('Not run: a cell above stopped with an error.');
  expect(ran.ipynb + ran.html).not.toMatch(/src\/notebook|node_modules|node:internal/);
  return { ...ran, failed: ran.result.failedCell, words: outputText(codeCells(ran.notebook)[1]) };
}

describe('an error is shown in its cell, with the line of the notebook', () => {
  it(
    'syntax: a bracket left open; the cells above it run',
    async () => {
      const { notebook, failed, words } = await failing('const a = {\n  b: 1,');
      expect(statuses(notebook)).toEqual(['ran', 'failed', 'not-run']);
      expect(failed?.name).toBe('Syntax');
      expect(failed?.line).toBeGreaterThanOrEqual(5);
      expect(failed?.line).toBeLessThanOrEqual(6);
      expect(words).toContain('Syntax in line');
    },
    LONG_MS,
  );

  it(
    'a name declared in two cells',
    async () => {
      const { result } = await runText(folder, '// %%\nconst a = 1;\n// %%\n\nconst a = 2;\n');
      expect(result.failedCell).toMatchObject({ index: 1, line: 5, name: 'Syntax' });
    },
    LONG_MS,
  );

  it(
    'a call that fails two functions deep, after types and blank lines',
    async () => {
      const { failed, words } = await failing(
        "interface Deep {\n  x: number;\n}\nfunction inner(d: Deep): never {\n  throw new RangeError('x is ' + d.x);\n}\n\nconst outer = () =>\n  inner({ x: 3 });\nouter();",
      );
      expect(failed).toMatchObject({ line: 9, name: 'RangeError', message: 'x is 3' });
      expect(words).toContain('line 9, in inner');
      expect(words).toContain('line 13, in outer');
      expect(words).toContain('line 14');
    },
    LONG_MS,
  );

  it(
    'an error within a module of this package names the line that called it',
    async () => {
      const { failed } = await failing(
        "import { notebook } from 'proving-range/notebook';\n\nconst folder = notebook.dataDir;",
      );
      expect(failed?.line).toBe(7);
      expect(failed?.message).toContain('--data');
    },
    LONG_MS,
  );

  it.each([
    ["throw 'a word';", "'a word'"],
    ['throw null;', 'null'],
    ['throw { code: 7 };', '{ code: 7 }'],
    [
      "throw new Proxy({}, { get() { throw new Error('trap'); }, ownKeys() { throw new Error('trap'); } });",
      '',
    ],
    ["throw Object.assign(new Error('x'), { get message() { throw 1; } });", ''],
  ])(
    'a thrown value that is no proper error: %s',
    async (cell, shown) => {
      const { failed } = await failing(`\n${cell}`);
      expect(failed?.line).toBe(6);
      expect(failed?.message).toContain(shown);
    },
    LONG_MS,
  );

  it(
    'a rejection that nobody awaits, and an error in a timer',
    async () => {
      const rejected = await failing("const p = Promise.reject(new Error('nobody waits'));");
      expect(rejected.failed).toMatchObject({ line: 5, message: 'nobody waits' });
      const timer = await failing(
        "setTimeout(() => {\n  throw new Error('in a timer');\n}, 1);\nawait new Promise((go) => setTimeout(go, 500));",
      );
      expect(timer.failed).toMatchObject({ line: 6, message: 'in a timer' });
    },
    LONG_MS,
  );

  it(
    'a module that is not there, and a name that a module does not have: nothing ran, the import is to blame',
    async () => {
      const missing = await failing("import { x } from './not-there.ts';\nx;");
      expect(missing.failed).toMatchObject({ line: 5, name: 'Import' });
      expect(missing.failed?.message).toContain('"./not-there.ts"');
      expect(statuses(missing.notebook)).toEqual(['not-run', 'failed', 'not-run']);
      const nameless = await failing("import { noSuchName } from 'node:fs';\nnoSuchName;");
      expect(nameless.failed?.line).toBe(5);
      expect(nameless.failed?.message).toContain('noSuchName');
    },
    LONG_MS,
  );
});

describe('a notebook that would not stop, or takes too much', () => {
  it(
    'a loop without end is stopped at the time limit; what it printed before is kept',
    async () => {
      const { failed, words } = await failing("console.log('before');\nlet n = 0;\nfor (;;) n++;", {
        cellTimeLimit_s: 3,
      });
      expect(failed).toMatchObject({ name: 'Time limit', line: 7 });
      expect(failed?.message).toContain('3 s');
      expect(words).toContain('before');
    },
    LONG_MS,
  );

  it(
    'a promise that nothing settles',
    async () => {
      const { failed } = await failing('await new Promise(() => undefined);');
      expect(failed?.line).toBe(5);
      expect(failed?.message).toContain('never comes');
    },
    LONG_MS,
  );

  it(
    'a timer left running after the last cell is stopped at the time limit',
    async () => {
      const { result } = await runText(folder, '// %%\nsetInterval(() => undefined, 10);\n', {
        cellTimeLimit_s: 3,
      });
      expect(result.failedCell).toMatchObject({ index: 0, name: 'Time limit' });
    },
    LONG_MS,
  );

  it(
    'memory: on the heap, and outside it',
    async () => {
      const heap = await failing(
        'const kept: object[] = [];\nfor (;;) kept.push(new Array(1e5).fill(Math.random()));',
        {
          memoryLimit_mb: 300,
        },
      );
      expect(heap.failed).toMatchObject({ name: 'Memory limit' });
      const buffers = await failing('const kept: Buffer[] = [];\nfor (;;) kept.push(Buffer.alloc(5e6, 1));', {
        memoryLimit_mb: 300,
      });
      expect(buffers.failed).toMatchObject({ name: 'Memory limit', line: 6 });
      expect(buffers.failed?.message).toContain('300 MB');
    },
    LONG_MS,
  );

  it(
    'process.exit and process.kill in a cell',
    async () => {
      const exit = await failing('process.exit(0);');
      expect(exit.failed).toMatchObject({ name: 'Stopped', line: 5 });
      expect(exit.failed?.message).toContain('exit code 0');
      const kill = await failing("process.kill(process.pid, 'SIGKILL');");
      expect(kill.failed?.message).toContain('SIGKILL');
    },
    LONG_MS,
  );
});

describe('output that is too much, or not what it seems', () => {
  it(
    'cuts a flood and says how much was left out',
    async () => {
      const { result, notebook, html } = await runText(
        folder,
        "// %%\nfor (let i = 0; i < 3000; i++) console.log('x'.repeat(999));\n'end';\n",
      );
      expect(result.ok).toBe(true);
      const text = outputText(codeCells(notebook)[0]);
      const kept = text.match(/x/g)?.length ?? 0;
      const left = Number(/Output cut: ([\d,]+) more characters/.exec(text)?.[1]?.replaceAll(',', ''));
      const keptLines = text.split('\n').filter((line) => /^x/.test(line)).length;
      // 3000 lines of 999 letters and a line end.
      expect(kept + Math.floor(kept / 999) + left).toBe(3_000_000);
      expect(keptLines).toBeGreaterThan(50);
      expect(text).toContain('end');
      expect(html).toContain('more characters not shown');
      expect(html.length).toBeLessThan(500_000);
    },
    LONG_MS,
  );

  it(
    'shows the first rows of a long table and counts them all',
    async () => {
      const { notebook } = await runText(
        folder,
        '// %%\nArray.from({ length: 5000 }, (_, i) => ({ i, s: String(i) }))\n',
      );
      const text = outputText(codeCells(notebook)[0]);
      expect(text).toContain('The first 200 of 5,000 rows');
    },
    LONG_MS,
  );

  it(
    'shows markup, scripts and direction marks as text, everywhere',
    async () => {
      const bad = '</script><img src=x onerror=alert(1)>\\u202e';
      const { html, notebook } = await runText(
        folder,
        `// %% [markdown]
// # <script>alert(1)</script>
//
// <img src=x onerror=alert(1)> [x](javascript:alert(1))

// %% <script>title</script>
import { notebook } from 'proving-range/notebook';
const bad = '${bad}';
console.log(bad);
notebook.show(notebook.markdown(bad));
notebook.show({ columns: [{ key: 'a', label: bad }], rows: [{ a: bad }] });
notebook.show({ bad });
notebook.show([{ [bad]: bad }]);
throw new Error(bad);
`,
      );
      expect(html.match(/<script/g)).toHaveLength(1);
      expect(html).not.toMatch(/<img|href="javascript|\u202e/);
      for (const output of codeCells(notebook)[0]?.outputs ?? [])
        if ('data' in output)
          expect(String((output.data as Record<string, unknown>)['text/html'] ?? '')).not.toMatch(
            /<img|<script/,
          );
    },
    LONG_MS,
  );

  it(
    'a value that only looks like a figure, a Finding or a table says so, and the rest is drawn',
    async () => {
      const { result, notebook } = await runText(
        folder,
        `// %%
import { notebook } from 'proving-range/notebook';
const figure = { id: '<b>', title: 't', caption: 'c', description: 'd', data: [], layout: {}, table: 7 };
notebook.show(figure);
notebook.show({ study: 1, question: 2, answer: 3, verdict: 4, estimates: [null], provenance: 5 });
notebook.show({ columns: [{ key: 'a', label: { deep: 1 } }], rows: [{ a: { b: 1 } }, null, { a: 1n }] });
notebook.show([{ a: 1, b: new Date(NaN) }, { a: Number.NaN, b: null }]);
const loop: { self?: unknown } = {};
loop.self = loop;
notebook.show([loop, 10n, Symbol('s'), () => 1, new Map([[1, 2]])]);
// %%
'after'
`,
      );
      expect(result.failedCell).toBeNull();
      const text = outputText(codeCells(notebook)[0]);
      expect(text).toContain('This figure cannot be drawn');
      expect(text).toContain('This finding cannot be drawn');
      expect(text).toContain('{ b: 1 }');
      expect(text).toContain('NaN');
      expect(text).toContain('Circular');
      expect(outputText(codeCells(notebook)[1])).toBe('after');
    },
    LONG_MS,
  );
});
