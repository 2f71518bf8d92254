import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findingPage, reportFiles } from '../../src/report/index.ts';
import { poisoned, studyFindings } from '../report/studies.ts';
import { axeViolations } from './axe.ts';
import { findChromium, launchChromium } from './chromium.ts';
import { openPage } from './open-page.ts';

const phone = { viewport: { width: 360, height: 740 } };
const width = (page: Page): Promise<number> => page.evaluate('document.documentElement.scrollWidth');

/** Texts of the drawings in sight that reach out of their drawing, by more than half a px. */
const cutTexts = (page: Page): Promise<string[]> =>
  page.locator('.static svg:visible').evaluateAll((drawings) =>
    drawings.flatMap((svg) => {
      const frame = svg.getBoundingClientRect();
      return [...svg.querySelectorAll('text')].flatMap((text) => {
        const box = text.getBoundingClientRect();
        const inside =
          box.left >= frame.left - 0.5 &&
          box.right <= frame.right + 0.5 &&
          box.top >= frame.top - 0.5 &&
          box.bottom <= frame.bottom + 0.5;
        return inside ? [] : [`${svg.id}: ${text.textContent}`];
      });
    }),
  );

// Set CHROMIUM, or have chromium on the PATH, to run these.
describe.skipIf(findChromium() === null)(
  'the page of every study in a browser (needs Chromium)',
  { timeout: 120_000 },
  () => {
    let browser: Browser;
    beforeAll(async () => {
      browser = await launchChromium();
    });
    afterAll(() => browser.close());

    it.each(studyFindings)(
      '%s: quiet, whole on a phone, every figure alive, clean to an accessibility engine',
      async (_, finding) => {
        const html = findingPage(finding);
        expect(Buffer.byteLength(html)).toBeLessThan(3_000_000);
        const drawn = Object.keys(reportFiles(finding)).filter((file) => file.endsWith('.svg')).length;
        const { page, complaints, requests, close } = await openPage(browser, html, phone);
        expect(await page.locator('.live:visible').count()).toBe(drawn);
        expect(await page.locator('.live .main-svg').count()).toBeGreaterThanOrEqual(drawn);
        expect(await width(page)).toBe(360);

        // The arrow keys read out the first point of every figure that has any.
        const read = await page.evaluate<number>(`[...document.querySelectorAll('.live')].filter((host) => {
          host.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight' }));
          return host.querySelector('.reader').textContent !== '';
        }).length`);
        expect(read).toBe(await page.locator('.live[tabindex]').count());
        expect(read).toBeGreaterThan(0);
        expect(await page.locator('.hoverlayer .hovertext').count()).toBeGreaterThan(0);

        const button = page.locator('.legend button').first();
        if ((await button.count()) > 0) {
          const marks = page
            .locator('.live', { has: page.locator('.legend button') })
            .first()
            .locator('.plot .trace');
          const before = await marks.count();
          await button.press('Enter');
          expect(await button.getAttribute('aria-pressed')).toBe('false');
          await expect.poll(() => marks.count()).toBeLessThan(before);
          await button.press('Enter');
          await expect.poll(() => marks.count()).toBe(before);
        }
        expect(await axeViolations(page)).toEqual([]);
        expect(await width(page)).toBe(360);
        expect(complaints).toEqual([]);
        expect(requests).toEqual([]);
        await close();
      },
    );

    it.each(studyFindings)(
      '%s: without script, static figures with no text cut; on paper, none cut by the end of a page',
      async (_, finding) => {
        const options = { ...phone, javaScriptEnabled: false };
        const { page, close } = await openPage(browser, findingPage(finding), options);
        const figures = await page.locator('.figure').count();
        expect(await page.locator('.static .narrow svg:visible').count()).toBe(figures);
        expect(await page.locator('.live:visible').count()).toBe(0);
        expect(await width(page)).toBe(360);
        expect(await cutTexts(page)).toEqual([]);

        // A4 and Letter at 96 px an inch: the narrower width and the lower height, less the margins of the page.
        const px = (mm: number): number => Math.floor((mm / 25.4) * 96);
        const paper = { width: px(210 - 30), height: px(279.4 - 32) };
        await page.emulateMedia({ media: 'print' });
        await page.setViewportSize(paper);
        expect(await page.locator('.static .wide svg:visible').count()).toBe(figures);
        expect(await cutTexts(page)).toEqual([]);
        const sizes = await page.locator('.figure').evaluateAll((nodes) =>
          nodes.map((node) => ({
            id: node.id,
            height: node.getBoundingClientRect().height,
            right: Math.max(
              ...[...node.querySelectorAll('.wide svg')].map((svg) => svg.getBoundingClientRect().right),
            ),
          })),
        );
        for (const { id, height, right } of sizes) {
          expect(height, `${id} on ${paper.height} px`).toBeLessThan(paper.height);
          expect(right, id).toBeLessThanOrEqual(paper.width + 1);
        }
        await close();
      },
    );

    it.each(studyFindings)('%s: hostile text stays text', async (_, finding) => {
      const { page, complaints, requests, close } = await openPage(
        browser,
        findingPage(poisoned(finding)),
        phone,
      );
      expect(await page.locator('img, iframe, object, embed, main a, main b > script').count()).toBe(0);
      expect(await page.locator('[data-figure] svg a, [data-figure] svg b, .hoverlayer b').count()).toBe(0);
      expect(await width(page)).toBe(360);
      expect(complaints).toEqual([]);
      expect(requests).toEqual([]);
      await close();
    });
  },
);
