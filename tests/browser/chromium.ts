/** The browser of these tests: a Chromium already on the machine, with nothing downloaded and no profile kept. */
import { type Browser, chromium } from 'playwright-core';
import { findChromium } from '../../src/report/index.ts';

export { findChromium };

/** Starts it with an empty profile of its own and without its background traffic. */
export function launchChromium(): Promise<Browser> {
  const executablePath = findChromium();
  if (executablePath === null)
    throw new Error('launchChromium: no Chromium found; skip the test, or set CHROMIUM');
  return chromium.launch({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}
