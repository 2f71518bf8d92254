/**
 * Prints the bytes of a page and how long Chromium takes until every figure of it answers: `npx tsx
 * tests/browser/measure-page.ts` for the page of forty golfers, or with the files of other pages. Five fresh starts of a
 * page; the median and the range. To be run on a quiet machine; it asserts nothing.
 */
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { findingPage } from '../../src/report/index.ts';
import { finding } from '../report/fixture.ts';
import { launchChromium } from './chromium.ts';
import { openPage } from './open-page.ts';

const STARTS = 5;
const given = process.argv.slice(2).map((file) => [basename(file), readFileSync(file, 'utf8')] as const);
const pages = given.length > 0 ? given : [['forty golfers', findingPage(finding)] as const];

const browser = await launchChromium();
try {
  for (const [name, html] of pages) {
    const ms: number[] = [];
    for (let start = 0; start < STARTS; start += 1) {
      const { page, close } = await openPage(browser, html, { viewport: { width: 1280, height: 900 } });
      // One pass of the event loop after the last figure: by then a click is answered.
      const ready = await page.evaluate<number>(
        'new Promise((done) => setTimeout(() => done(performance.now()), 0))',
      );
      ms.push(ready);
      await close();
    }
    ms.sort((a, b) => a - b);
    const [low, middle, high] = [ms[0], ms[(STARTS - 1) / 2], ms[STARTS - 1]].map((one) =>
      Math.round(one ?? 0),
    );
    console.log(
      `${name}: ${Buffer.byteLength(html)} bytes; interactive after ${middle} ms (${low} to ${high})`,
    );
  }
} finally {
  await browser.close();
}
