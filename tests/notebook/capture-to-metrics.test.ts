import { cpSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { type Measurement, measureCapture } from '../../src/kinematics/index.ts';
import { runNotebook } from '../../src/notebook/index.ts';
import { sharedReference } from '../reference/shared.ts';
import { codeCells, formatErrors, outputText, testFolder } from './run-here.ts';

const folder = testFolder();
const NOTEBOOK = fileURLToPath(new URL('../../notebooks/capture-to-metrics.ts', import.meta.url));
const DATA = fileURLToPath(new URL('../../synthetic/swing', import.meta.url));
const LONG_MS = 120_000;

async function runOn(dataDir: string, name: string) {
  const outDir = join(folder, name);
  const result = await runNotebook({ path: NOTEBOOK, dataDir, outDir });
  const ipynb = readFileSync(join(outDir, 'capture-to-metrics.ipynb'), 'utf8');
  const html = readFileSync(join(outDir, 'capture-to-metrics.html'), 'utf8');
  return { result, ipynb, html, text: codeCells(JSON.parse(ipynb)).map(outputText).join('\n') };
}

function measured(capture: string, layout: string): Measurement {
  const result = measureCapture({
    c3dBytes: new Uint8Array(readFileSync(capture)),
    layout: JSON.parse(readFileSync(layout, 'utf8')),
  });
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}

describe('the notebook from capture to metrics', () => {
  it(
    'on the simulated swing: the numbers of the library, and most of the planted truth within 2 SD',
    async () => {
      const { result, ipynb, html, text } = await runOn(DATA, 'simulated');
      expect(result).toMatchObject({ ok: true, problems: [], failedCell: null });
      expect(formatErrors(JSON.parse(ipynb))).toEqual([]);
      expect(text).toContain('No recorded swing in this folder');
      const own = join(DATA, 'simulated');
      const { swing } = measured(join(own, 'swing.c3d'), join(own, 'layout.json'));
      const { metrics } = JSON.parse(readFileSync(join(own, 'truth.json'), 'utf8')) as {
        metrics: Record<string, number>;
      };
      let within = 0;
      for (const [column, planted] of Object.entries(metrics)) {
        const off = (swing[column]! - planted) / swing[`${column}_sd`]!;
        expect(html).toContain(`data-value="${off}"`);
        if (Math.abs(off) <= 2) within++;
      }
      const planted = Object.keys(metrics).length;
      expect(text).toContain(`Of ${planted} planted numbers ${within} were recovered within 2 SD`);
      // 21 correlated numbers: fewer than 17 within 2 SD would be no chance.
      expect(within).toBeGreaterThanOrEqual(17);
    },
    LONG_MS,
  );

  const capture = sharedReference('swing/real-swing.c3d');
  const layout = sharedReference('swing/layout.json');
  it.skipIf(capture === null || layout === null)(
    'on a recorded swing beside the simulated one: both, the faults of the file said',
    async () => {
      const both = join(folder, 'both');
      cpSync(DATA, both, { recursive: true });
      mkdirSync(join(both, 'recorded'));
      cpSync(capture!, join(both, 'recorded', 'swing.c3d'));
      cpSync(layout!, join(both, 'recorded', 'layout.json'));
      const { result, text, html } = await runOn(both, 'both-out');
      expect(result).toMatchObject({ ok: true, failedCell: null });
      expect(text).toContain('1 recorded, 1 simulated.');
      // The file's own faults: README of the reference folder.
      expect(html).toContain('POINT:FRAMES states 515 frames; 514 were read.');
      const { swing } = measured(capture!, layout!);
      expect(text).toContain(swing.trail_elbow_flexion_top_deg!.toFixed(1));
    },
    LONG_MS,
  );

  it(
    'stops in words on a folder without a capture',
    async () => {
      const { result } = await runOn(
        fileURLToPath(new URL('../../synthetic/recipes', import.meta.url)),
        'none',
      );
      expect(result.failedCell?.message).toContain('it needs a .c3d file and a layout.json beside it');
    },
    LONG_MS,
  );
});
