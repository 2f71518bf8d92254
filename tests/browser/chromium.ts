/** The browser of these tests: a Chromium already on the machine, with nothing downloaded and no profile kept. */
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { type Browser, chromium } from 'playwright-core';

const names = ['chromium', 'chromium-browser', 'google-chrome'];

/** The Chromium named by the environment variable CHROMIUM, or the first on the PATH; null where there is none. */
export function findChromium(): string | null {
  const named = process.env.CHROMIUM;
  if (named !== undefined && named !== '') return existsSync(named) ? named : null;
  const folders = (process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '');
  return names.flatMap((name) => folders.map((folder) => join(folder, name))).find(existsSync) ?? null;
}

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
