/**
 * Takes the picture in the README: the first part of the demo's report, as it looks in a browser. Needs Chromium.
 * Run after `npm run reports`: `npm run picture`.
 */
import { fileURLToPath } from 'node:url';
import { launchChromium } from '../tests/browser/chromium.ts';

const page = new URL('drill-trial/drill-trial.html', import.meta.url).href;
const picture = fileURLToPath(new URL('picture.png', import.meta.url));

const browser = await launchChromium();
try {
  const tab = await browser.newPage({ viewport: { width: 860, height: 1180 }, deviceScaleFactor: 1.5 });
  await tab.goto(page);
  await tab.locator('html[data-figures="ready"]').waitFor({ state: 'attached' });
  await tab.screenshot({ path: picture });
} finally {
  await browser.close();
}
