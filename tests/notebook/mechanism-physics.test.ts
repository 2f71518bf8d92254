import { mkdtemp, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { runNotebook } from '../../src/notebook/index.ts';

const NOTEBOOK = fileURLToPath(new URL('../../notebooks/mechanism-physics.ts', import.meta.url));

it('the notebook on mechanics runs to its end and shows the swings without a script', {
  timeout: 120_000,
}, async () => {
  const outDir = join(await mkdtemp(join(tmpdir(), 'mechanics-')), 'out');
  const result = await runNotebook({ path: NOTEBOOK, outDir, seed: 1 });
  expect(result).toMatchObject({ ok: true });
  const page = await readFile(join(outDir, 'mechanism-physics.html'), 'utf8');
  const motion = /<figure class="motion".*?<\/figure>/s.exec(page)?.[0] ?? '';
  expect(motion.match(/<li><svg[^>]*role="img"/g)).toHaveLength(4);
  expect(motion).not.toContain('<script');
  // What moves does so only where the reader has not asked for less motion, and has pressed play.
  expect(motion).toMatch(/@media screen and \(prefers-reduced-motion:no-preference\)\{[^@]*animation:/);
  expect(motion.indexOf('animation:')).toBeGreaterThan(motion.indexOf('@media screen'));
  expect(page).toContain('The answer, and what would change it');
  const cells = JSON.parse(await readFile(join(outDir, 'mechanism-physics.ipynb'), 'utf8')).cells as {
    outputs?: { output_type: string }[];
  }[];
  expect(
    cells.flatMap(({ outputs = [] }) => outputs).some(({ output_type }) => output_type === 'error'),
  ).toBe(false);
});
