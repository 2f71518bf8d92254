import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axeViolations } from './axe.ts';
import { findChromium, launchChromium } from './chromium.ts';
import { openPage } from './open-page.ts';

const reports = fileURLToPath(new URL('../../reports', import.meta.url));
const built = readdirSync(reports, { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.html'))
  .sort();

// Set CHROMIUM, or have chromium on the PATH, to run these.
describe.skipIf(findChromium() === null)(
  'the pages in reports/ in a browser (needs Chromium)',
  { timeout: 120_000 },
  () => {
    let browser: Browser;
    beforeAll(async () => {
      browser = await launchChromium();
    });
    afterAll(() => browser.close());

    it('are there', () => {
      expect(built).toContain(join('drill-trial', 'drill-trial.html'));
    });

    it.each(built)('%s: whole on a phone, quiet, and clean to an accessibility engine', async (file) => {
      const html = readFileSync(join(reports, file), 'utf8');
      expect(Buffer.byteLength(html)).toBeLessThan(3_000_000);
      const { page, complaints, requests, close } = await openPage(browser, html, {
        viewport: { width: 360, height: 740 },
      });
      const figures = await page.locator('.figure').count();
      expect(await page.locator('.figure, figure').count()).toBeGreaterThan(0);
      expect(await page.locator('.live:visible').count()).toBe(figures);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(360);
      expect(await axeViolations(page)).toEqual([]);
      expect(complaints).toEqual([]);
      expect(requests).toEqual([]);
      await close();
    });
  },
);
