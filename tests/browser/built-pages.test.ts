import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { axeViolations } from './axe.ts';
import { findChromium, launchChromium } from './chromium.ts';
import { openPage } from './open-page.ts';
import { tryFigures } from './try-figures.ts';

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
      // The same page in the dark, and then on a desk.
      await page.emulateMedia({ colorScheme: 'dark' });
      expect(await axeViolations(page)).toEqual([]);
      await page.setViewportSize({ width: 1280, height: 900 });
      expect(await axeViolations(page)).toEqual([]);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(1280);
      expect(complaints).toEqual([]);
      expect(requests).toEqual([]);
      await close();
    });

    it.each(built)('%s: tooltips by keyboard and mouse, legends that switch', async (file) => {
      const html = readFileSync(join(reports, file), 'utf8');
      const { page, complaints, close } = await openPage(browser, html, {
        viewport: { width: 1280, height: 900 },
      });
      const readable = await page.locator('.live[tabindex]:visible').count();
      const legends = await page.locator('.live:visible .legend button').count();
      const { faults, ...tried } = await tryFigures(page);
      expect(faults).toEqual([]);
      expect(tried).toEqual({ read: readable, pointed: readable, switched: legends });
      expect(complaints).toEqual([]);
      await close();
    });

    it.each(built)('%s: static without script, and whole on A4 and Letter', async (file) => {
      const html = readFileSync(join(reports, file), 'utf8');
      const { page, close } = await openPage(browser, html, {
        viewport: { width: 360, height: 740 },
        javaScriptEnabled: false,
      });
      const figures = await page.locator('.figure').count();
      expect(await page.locator('.static .narrow svg:visible').count()).toBe(figures);
      expect(await page.locator('.live:visible').count()).toBe(0);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(360);
      await page.emulateMedia({ media: 'print' });
      // The narrower of both papers and the lower, less the margins of the page (15 mm at the sides, 16 mm above and below).
      const px = (mm: number): number => Math.floor((mm / 25.4) * 96);
      const paper = { width: px(210 - 30), height: px(279.4 - 32) };
      await page.setViewportSize(paper);
      const boxes = await page.locator('.figure').evaluateAll((nodes) =>
        nodes.map((node) => ({
          id: node.id,
          height: node.getBoundingClientRect().height,
          whole: node.ownerDocument.defaultView?.getComputedStyle(node).breakInside,
          right: Math.max(
            0,
            ...[...node.querySelectorAll('.wide svg')].map((svg) => svg.getBoundingClientRect().right),
          ),
        })),
      );
      // Whole, and lower than a page: so none can stand across the end of one.
      for (const { id, height, whole, right } of boxes) {
        expect(whole, id).toBe('avoid');
        expect(height, id).toBeLessThan(paper.height);
        expect(right, id).toBeLessThanOrEqual(paper.width + 1);
      }
      await close();
    });
  },
);
