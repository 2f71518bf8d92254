import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { sha256Hex } from '../../src/dataset/index.ts';
import { readRunNotebook } from '../../src/notebook/index.ts';
import { runText, testFolder } from './run-here.ts';

const folder = testFolder();
const LONG_MS = 90_000;
const REPORTS = fileURLToPath(new URL('../../reports', import.meta.url));
const committed = readdirSync(REPORTS)
  .filter((name) => name.endsWith('-notebook'))
  .map((name) => join(REPORTS, name, name.replace(/-notebook$/, '.ipynb')))
  .filter((path) => existsSync(path));

describe('readRunNotebook', () => {
  it.each(committed.map((path) => [path.slice(REPORTS.length + 1), path]))(
    'gives back the very text that was run: %s',
    (_, path) => {
      const ran = readRunNotebook(readFileSync(path, 'utf8'));
      expect(sha256Hex(ran?.source ?? '')).toBe(ran?.provenance.notebook.sha256);
    },
  );

  it(
    'keeps titles, tags, raw cells and what an error left',
    async () => {
      const text =
        '// %% [markdown]\n// # Title\n//\n// Text.\n\n// %% The data tags=["hide-input"]\nconst a = 1;\n\n// %% [raw]\n// raw\n\n// %%\nthrow new Error(String(a));\n\n// %%\na;\n';
      const ran = readRunNotebook((await runText(folder, text)).ipynb);
      expect(ran?.source).toBe(text);
      expect(ran?.cells.map(({ kind }) => kind)).toEqual(['markdown', 'code', 'raw', 'code', 'code']);
    },
    LONG_MS,
  );

  it.each(['', '{}', '[]', 'null', '{"cells":[],"metadata":{"proving_range":{"seed":1}}}'])(
    'is null for %s, which no run has written',
    (text) => expect(readRunNotebook(text)).toBeNull(),
  );
});

/** Debian's python3-nbformat, the format's own library; the tests of the published schema are in run.test.ts. */
const PYTHON = '/usr/bin/python3';
function nbformatVersion(): string | null {
  try {
    const script = 'import nbformat; print(nbformat.__version__)';
    return execFileSync(PYTHON, ['-c', script], { encoding: 'utf8', stdio: 'pipe' }).trim();
  } catch {
    return null;
  }
}

const version = nbformatVersion();
it.skipIf(version === null)(`python nbformat ${version} finds every committed notebook valid`, () => {
  const script = `import nbformat, sys
for path in sys.argv[1:]:
    nb = nbformat.read(path, as_version=nbformat.NO_CONVERT)
    assert (nb.nbformat, nb.nbformat_minor) == (4, 5), path
    nbformat.validate(nb)
print(len(sys.argv) - 1)`;
  const read = execFileSync(PYTHON, ['-W', 'error', '-c', script, ...committed], { encoding: 'utf8' });
  expect(Number(read)).toBe(committed.length);
  expect(committed.length).toBeGreaterThan(2);
});
