import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Site, site } from '../../reports/site/site-files.ts';
import { writeSite } from '../../reports/site/write-site.ts';
import { axeViolations } from './axe.ts';
import { findChromium, launchChromium } from './chromium.ts';
import { openAddress } from './open-page.ts';

/** One page of each kind. */
const KINDS = [
  'index.html',
  'tutorials/index.html',
  'tutorials/coach.html',
  'tutorials/student.html',
  'commands.html',
  'metrics.html',
  'tables.html',
  'json/index.html',
  'json/plan.html',
  'library/index.html',
  'library/stats.html',
  'library/stats-models.html',
  'library/kinematics-geometry.html',
  'notebooks/index.html',
  'reports/index.html',
  'more.html',
  'readme.html',
  'changelog.html',
  'federation.html',
  'cite.html',
];

// Set CHROMIUM, or have chromium on the PATH, to run these.
describe.skipIf(findChromium() === null)(
  'the documentation site in a browser (needs Chromium)',
  { timeout: 120_000 },
  () => {
    let browser: Browser;
    let built: Site;
    const folder = mkdtempSync(join(tmpdir(), 'proving-range-site-'));
    const address = (path: string): string => pathToFileURL(join(folder, 'site', path)).href;
    const width = (page: Page): Promise<number> => page.evaluate('document.documentElement.scrollWidth');

    beforeAll(async () => {
      built = site();
      await writeSite(join(folder, 'site'), { ...built, copies: new Map() });
      browser = await launchChromium();
    }, 120_000);
    afterAll(async () => {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    });

    it('has every page whole on a phone, quiet, and asking for nothing', async () => {
      const found: string[] = [];
      const { page, complaints, requests, close } = await openAddress(browser, address('index.html'), {
        viewport: { width: 360, height: 740 },
      });
      for (const path of built.pages.keys()) {
        await page.goto(address(path));
        const seen = await width(page);
        if (seen !== 360) found.push(`${path} is ${seen} px wide`);
      }
      expect(found).toEqual([]);
      expect(complaints).toEqual([]);
      expect(requests.filter((request) => !request.startsWith(address('')))).toEqual([]);
      await close();
    });

    it.each(['light', 'dark'] as const)(
      'has one page of each kind clean to an accessibility engine, in the %s',
      async (colorScheme) => {
        const { page, close } = await openAddress(browser, address('index.html'), {
          viewport: { width: 1280, height: 900 },
          colorScheme,
        });
        const found: string[] = [];
        for (const path of KINDS) {
          await page.goto(address(path));
          found.push(...(await axeViolations(page)).map((violation) => `${path}: ${violation}`));
        }
        expect(found).toEqual([]);
        await close();
      },
    );

    it('looks through its list as words are typed, and tells how much it found', async () => {
      const { page, complaints, close } = await openAddress(browser, address('search.html'), {
        viewport: { width: 360, height: 740 },
      });
      const first = page.locator('#hits li').first();
      await page.locator('#asked').fill('shaft lean');
      expect(await first.locator('a').textContent()).toMatch(/shaft[_ ]lean/i);
      expect(await page.locator('#found').textContent()).toMatch(/^\d+ found/);
      expect(await page.locator('#all').isVisible()).toBe(false);
      await page.locator('#asked').fill('fitModel');
      expect(await first.locator('a').getAttribute('href')).toBe('library/stats-models.html#fitModel');
      await page.locator('#asked').fill('--every-choice');
      expect(await first.locator('a').getAttribute('href')).toContain('commands.html#ask-every-choice');
      await page.locator('#asked').fill('<img src=x onerror=alert(1)>');
      expect(await page.locator('#found').textContent()).toBe('Nothing has these words.');
      expect(await width(page)).toBe(360);
      await page.goto(`${address('search.html')}?q=handicap`);
      expect(await page.locator('#hits li').count()).toBeGreaterThan(1);
      expect(await axeViolations(page)).toEqual([]);
      await page.locator('#asked').fill('');
      expect(await page.locator('#all').isVisible()).toBe(true);
      expect(complaints).toEqual([]);
      await close();
    });

    it('is all there without a script', async () => {
      const { page, close } = await openAddress(browser, address('search.html'), {
        viewport: { width: 360, height: 740 },
        javaScriptEnabled: false,
      });
      expect(await page.locator('.finder').isVisible()).toBe(false);
      expect(await page.locator('[data-entry]:visible').count()).toBe(built.entries.length);
      expect(await width(page)).toBe(360);
      await page.goto(address('tutorials/coach.html'));
      expect(await page.locator('.static .narrow svg:visible').count()).toBe(2);
      await close();
    });

    it('leads from the start to every tutorial and back by the keyboard', async () => {
      const { page, close } = await openAddress(browser, address('index.html'), {
        viewport: { width: 1280, height: 900 },
      });
      await page.keyboard.press('Tab');
      expect(await page.evaluate('document.activeElement.textContent')).toBe('Skip to the content');
      for (const who of ['coach', 'director', 'student']) {
        await page.locator(`.doors a[href="tutorials/${who}.html"]`).press('Enter');
        await page.waitForURL(address(`tutorials/${who}.html`));
        await page.locator('.site-name a').press('Enter');
        await page.waitForURL(address('index.html'));
      }
      await close();
    });

    it('cuts nothing on paper', async () => {
      const { page, close } = await openAddress(browser, address('index.html'), {
        viewport: { width: 680, height: 960 },
      });
      await page.emulateMedia({ media: 'print' });
      const found: string[] = [];
      for (const path of KINDS) {
        await page.goto(address(path));
        const seen = await width(page);
        if (seen > 680) found.push(`${path} is ${seen} px wide on paper of 680`);
      }
      expect(found).toEqual([]);
      await close();
    });
  },
);
