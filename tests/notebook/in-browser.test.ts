import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { watchNotebook } from '../../src/notebook/index.ts';
import { findChromium, launchChromium } from '../browser/chromium.ts';
import { openPage } from '../browser/open-page.ts';
import { runText, testFolder } from './run-here.ts';

const folder = testFolder();
const phone = { viewport: { width: 360, height: 740 } };
const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface AxeWindow {
  axe: { run(): Promise<{ violations: { id: string; nodes: { target: string[] }[] }[] }> };
}

const LONG_WORD = 'w'.repeat(300);
const TEXT = `// %% [markdown]
// # A page with everything
//
// \`${LONG_WORD}\`

// %% A figure tags=["hide-input"]
import { linearAxis } from 'proving-range/report';
import { notebook } from 'proving-range/notebook';
const axis = linearAxis([1, 2], { title: 'x' });
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
  layout: { xaxis: axis, yaxis: axis, height: 240 },
  table: { columns: [{ key: 'x', label: 'x' }], rows: [{ x: 1 }, { x: 2 }] },
};
notebook.show(figure);
figure

// %%
console.log('${LONG_WORD}');
Array.from({ length: 60 }, (_, i) => ({ i, words: 'several words '.repeat(8), w: '${LONG_WORD}' }))

// %%
throw new Error('${LONG_WORD}');

// %%
'not reached'
`;

// Set CHROMIUM, or have chromium on the PATH, to run these.
describe.skipIf(findChromium() === null)('a notebook page in a browser (needs Chromium)', () => {
  let browser: Browser;
  let html = '';
  beforeAll(async () => {
    browser = await launchChromium();
    html = (await runText(folder, TEXT)).html;
  }, 60_000);
  afterAll(() => browser.close());

  it('draws its figures, asks nothing of the network and complains of nothing', async () => {
    const { page, complaints, requests, close } = await openPage(browser, html, phone);
    expect(await page.locator('.live:visible .main-svg').count()).toBeGreaterThanOrEqual(2);
    expect(complaints).toEqual([]);
    expect(requests).toEqual([]);
    await close();
  });

  it('is no wider than a phone, however long a word is', async () => {
    const { page, close } = await openPage(browser, html, phone);
    const width = await page.evaluate('document.documentElement.scrollWidth');
    expect(width).toBe(360);
    await close();
  });

  it('is whole without scripts', async () => {
    const { page, close } = await openPage(browser, html, { ...phone, javaScriptEnabled: false });
    expect(await page.locator('figure .static svg:visible').count()).toBe(2);
    expect(await page.locator('.stopped:visible').count()).toBe(1);
    await close();
  });

  it.each(['light', 'dark'] as const)(
    'has nothing that an accessibility engine objects to: %s',
    async (colorScheme) => {
      const { page, close } = await openPage(browser, html, { ...phone, colorScheme });
      await page.evaluate(axeSource);
      const found = await page.evaluate(() => (globalThis as unknown as AxeWindow).axe.run());
      expect(found.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.target.join(' ')}`)).toEqual([]);
      await close();
    },
  );

  it('shows the new run where a watched notebook is open', async () => {
    const path = join(folder, 'open.ts');
    writeFileSync(path, "// %%\n'first run';\n");
    const end = new AbortController();
    let ended: Promise<void> = Promise.resolve();
    const address = await new Promise<string>((opened) => {
      ended = watchNotebook({
        path,
        outDir: join(folder, 'open-out'),
        opened,
        ran: () => undefined,
        signal: end.signal,
      });
    });
    const page = await browser.newPage();
    await page.goto(address);
    const frame = page.frameLocator('iframe');
    await frame.getByText('first run').last().waitFor();
    writeFileSync(path, "// %%\n'second run';\n");
    await frame.getByText('second run').last().waitFor();
    expect(await frame.getByText('first run').count()).toBe(0);
    await page.close();
    end.abort();
    await ended;
  }, 60_000);
});
