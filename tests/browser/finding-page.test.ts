import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findingPage } from '../../src/report/index.ts';
import { bareFinding, finding, hostile, hostileFinding } from '../report/fixture.ts';
import { axeViolations } from './axe.ts';
import { findChromium, launchChromium } from './chromium.ts';
import { openPage } from './open-page.ts';

const pages = {
  usual: findingPage(finding),
  hostile: findingPage(hostileFinding()),
  bare: findingPage(bareFinding),
};
const phone = { viewport: { width: 360, height: 740 } };
const desk = { viewport: { width: 1280, height: 900 } };

// Set CHROMIUM, or have chromium on the PATH, to run these.
describe.skipIf(findChromium() === null)(
  'the page in a browser (needs Chromium)',
  { timeout: 120_000 },
  () => {
    let browser: Browser;
    beforeAll(async () => {
      browser = await launchChromium();
    });
    afterAll(() => browser.close());

    it.each(['usual', 'hostile', 'bare'] as const)(
      '%s: no complaint on the console, nothing asked of the network',
      async (name) => {
        const { page, complaints, requests, close } = await openPage(browser, pages[name], desk);
        const live = await page.locator('.live:visible').count();
        expect(live).toBe({ usual: 5, hostile: 5, bare: 4 }[name]);
        expect(await page.locator('.live .main-svg').count()).toBeGreaterThanOrEqual(live);
        expect(complaints).toEqual([]);
        expect(requests).toEqual([]);
        await close();
      },
    );

    it.each(['usual', 'hostile', 'bare'] as const)(
      '%s: nothing wider than a phone of 360 px, with script and without',
      async (name) => {
        for (const javaScriptEnabled of [true, false]) {
          const { page, close } = await openPage(browser, pages[name], { ...phone, javaScriptEnabled });
          expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(360);
          await close();
        }
      },
    );

    it('shows the static figures, and all of the words, without script', async () => {
      for (const [options, form] of [
        [desk, 'wide'],
        [phone, 'narrow'],
      ] as const) {
        const { page, close } = await openPage(browser, pages.usual, {
          ...options,
          javaScriptEnabled: false,
        });
        expect(await page.locator(`.static .${form} svg:visible`).count()).toBe(5);
        expect(await page.locator('.static svg:visible').count()).toBe(5);
        expect(await page.locator('.live:visible').count()).toBe(0);
        expect(await page.locator('.sentence').textContent()).toBe(finding.answer);
        await close();
      }
    });

    it.each(['wide', 'narrow'] as const)(
      'cuts no text and no mark in the %s static figures',
      async (form) => {
        const { page, close } = await openPage(browser, pages.usual, {
          ...(form === 'wide' ? desk : phone),
          javaScriptEnabled: false,
        });
        const outside = await page.locator(`.static .${form} svg`).evaluateAll((drawings) =>
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
        expect(outside).toEqual([]);
        await close();
      },
    );

    it('keeps the labels of a static axis apart', async () => {
      for (const options of [desk, phone]) {
        const { page, close } = await openPage(browser, pages.usual, {
          ...options,
          javaScriptEnabled: false,
        });
        const touching = await page.locator('.static svg:visible').evaluateAll((drawings) =>
          drawings.flatMap((svg) => {
            const boxes = [...svg.querySelectorAll('text')].map((text) => ({
              text: text.textContent,
              box: text.getBoundingClientRect(),
            }));
            return boxes.flatMap(({ text, box }, k) =>
              boxes.slice(k + 1).flatMap((other) => {
                const [a, b] = [box, other.box];
                // Two px of grace: a box of text is taller than its letters.
                const meet =
                  a.left < b.right &&
                  b.left < a.right &&
                  a.top + 2 < b.bottom - 2 &&
                  b.top + 2 < a.bottom - 2;
                return meet ? [`${svg.id}: ${text} | ${other.text}`] : [];
              }),
            );
          }),
        );
        expect(touching).toEqual([]);
        await close();
      }
    });

    it('says what a point is when the mouse is on it', async () => {
      const { page, close } = await openPage(browser, pages.usual, desk);
      const plot = page.locator('[data-figure="golfers"]');
      await plot.scrollIntoViewIfNeeded();
      const box = await plot.locator('.plot .point').first().boundingBox();
      await page.mouse.move((box?.x ?? 0) + (box?.width ?? 0) / 2, (box?.y ?? 0) + (box?.height ?? 0) / 2, {
        steps: 3,
      });
      const words = await plot.locator('.hoverlayer .hovertext').first().textContent();
      expect(words).toContain('G19');
      expect(words).toContain('observed −9.6°');
      await close();
    });

    it('reads out the points one after another by the arrow keys, and stops at Escape', async () => {
      const { page, close } = await openPage(browser, pages.usual, desk);
      const plot = page.locator('[data-figure="dose"]');
      await plot.focus();
      await page.keyboard.press('ArrowRight');
      const reader = plot.locator('.reader');
      const first = await reader.textContent();
      expect(first).toContain('G01');
      expect(first).toContain('repetitions');
      await page.keyboard.press('ArrowRight');
      expect(await reader.textContent()).toContain('G03');
      expect(await plot.locator('.hoverlayer .hovertext').count()).toBe(1);
      await page.keyboard.press('ArrowLeft');
      expect(await reader.textContent()).toBe(first);
      await page.keyboard.press('Escape');
      expect(await reader.textContent()).toBe('');
      await close();
    });

    it('switches an arm off and on by its legend', async () => {
      const { page, close } = await openPage(browser, pages.usual, desk);
      const plot = page.locator('[data-figure="golfers"]');
      const all = await plot.locator('.plot .point').count();
      await plot.locator('.legend button').first().click();
      await expect.poll(() => plot.locator('.plot .point').count()).toBeLessThan(all);
      await plot.locator('.legend button').first().click();
      await expect.poll(() => plot.locator('.plot .point').count()).toBe(all);
      await close();
    });

    it('lets Tab reach the skip link, the figures and the details', async () => {
      const { page, close } = await openPage(browser, pages.usual, desk);
      await page.keyboard.press('Tab');
      expect(await page.evaluate('document.activeElement.className')).toBe('skip');
      await page.keyboard.press('Enter');
      const met = new Set<string>();
      for (let k = 0; k < 12; k++) {
        await page.keyboard.press('Tab');
        met.add(String(await page.evaluate('document.activeElement.tagName')));
      }
      expect([...met]).toEqual(expect.arrayContaining(['SUMMARY', 'DIV']));
      await close();
    });

    it('follows the width and the theme while it is open', async () => {
      const { page, close } = await openPage(browser, pages.usual, desk);
      const point = page.locator('[data-figure="dose"] .plot .point').first();
      const light = await point.evaluate(
        (node) => node.ownerDocument.defaultView?.getComputedStyle(node).fill,
      );
      await page.emulateMedia({ colorScheme: 'dark' });
      await expect
        .poll(() => point.evaluate((node) => node.ownerDocument.defaultView?.getComputedStyle(node).fill))
        .not.toBe(light);
      await page.setViewportSize({ width: 360, height: 740 });
      await expect
        .poll(() =>
          page
            .locator('[data-figure="dose"] .main-svg')
            .first()
            .evaluate((node) => node.clientWidth),
        )
        .toBeLessThan(340);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(360);
      await close();
    });

    it.each(['A4', 'Letter'] as const)(
      'prints on %s with the static figures, none cut by the end of a page',
      async (format) => {
        const { page, close } = await openPage(browser, pages.usual, desk);
        // Paper less the margins of the page (16 mm above and below, 15 mm at the sides), at 96 px an inch.
        const [width, height] = { A4: [210, 297], Letter: [215.9, 279.4] }[format] as [number, number];
        const px = (mm: number): number => (mm / 25.4) * 96;
        await page.emulateMedia({ media: 'print' });
        await page.setViewportSize({
          width: Math.floor(px(width - 30)),
          height: Math.floor(px(height - 32)),
        });
        expect(await page.locator('.live:visible').count()).toBe(0);
        expect(await page.locator('.static .wide svg:visible').count()).toBe(5);
        const figures = await page.locator('.figure').evaluateAll((nodes) =>
          nodes.map((node) => ({
            height: node.getBoundingClientRect().height,
            width: node.getBoundingClientRect().width,
            drawn: Math.max(
              ...[...node.querySelectorAll('.wide svg')].map((svg) => svg.getBoundingClientRect().right),
            ),
            whole: node.ownerDocument.defaultView?.getComputedStyle(node).breakInside,
          })),
        );
        for (const one of figures) {
          expect(one.whole).toBe('avoid');
          expect(one.height).toBeLessThan(px(height - 32));
          expect(one.drawn).toBeLessThanOrEqual(Math.ceil(px(width - 30)));
        }
        const pdf = (await page.pdf({ format })).toString('latin1');
        expect(pdf.match(/\/Type\s*\/Page\b/g)?.length).toBeGreaterThan(3);
        await close();
      },
    );

    it.each([
      ['light', phone, true],
      ['dark', desk, true],
      ['light', desk, false],
    ] as const)(
      'an accessibility engine finds nothing wrong: %s, %j, script %s',
      async (colorScheme, options, javaScript) => {
        const { page, close } = await openPage(browser, pages.usual, { ...options, colorScheme });
        if (!javaScript) {
          // The same page as it stands without script, which the engine itself needs.
          await page.addStyleTag({
            content: '.figure .static{display:block!important}.live{display:none!important}',
          });
        }
        expect(await axeViolations(page)).toEqual([]);
        await close();
      },
    );

    it('shows hostile text as text, in the page, in figures and in tooltips', async () => {
      const { page, complaints, close } = await openPage(browser, pages.hostile, desk);
      expect(await page.locator('img, iframe, object, embed, link[rel="stylesheet"]').count()).toBe(0);
      expect(await page.locator('h1').textContent()).toBe(hostile[0]);
      expect(await page.locator('.sentence').textContent()).toBe(hostile[1]);
      expect(await page.locator('[data-figure="golfers"] .ytick text').allTextContents()).toContain(
        '<b>G01</b>',
      );
      const plot = page.locator('[data-figure="golfers"]');
      await plot.focus();
      for (let k = 0; k < 45; k++) await page.keyboard.press('ArrowRight');
      expect(await page.locator('[data-figure] b, [data-figure] i, [data-figure] a').count()).toBe(0);
      expect(await page.locator('bdi[title]').first().getAttribute('title')).not.toBeNull();
      expect(complaints).toEqual([]);
      await close();
    });
  },
);
