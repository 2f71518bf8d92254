import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';

export interface OpenedPage {
  readonly page: Page;
  /** Errors and warnings on the console, and errors thrown. */
  readonly complaints: string[];
  /** Every address asked for but the page's own. */
  readonly requests: string[];
  close(): Promise<void>;
}

/** Opens HTML from a file of its own, as a reader would; waits for the figures where scripts may run. */
export async function openPage(
  browser: Browser,
  html: string,
  options: BrowserContextOptions,
): Promise<OpenedPage> {
  const folder = mkdtempSync(join(tmpdir(), 'page-'));
  const file = join(folder, 'page.html');
  writeFileSync(file, html);
  const opened = await openAddress(browser, pathToFileURL(file).href, options);
  // A page without a script, such as the catalogue's, is ready when it is loaded.
  if (options.javaScriptEnabled !== false && html.includes('<script')) {
    await opened.page.locator('html[data-figures="ready"]').waitFor({ state: 'attached' });
  }
  return {
    ...opened,
    close: async () => {
      await opened.close();
      rmSync(folder, { recursive: true });
    },
  };
}

/** Opens a page where it stands, and listens to what it complains of and asks for. */
export async function openAddress(
  browser: Browser,
  address: string,
  options: BrowserContextOptions,
): Promise<OpenedPage> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const complaints: string[] = [];
  const requests: string[] = [];
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('dialog', (dialog) => {
    complaints.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on('request', (request) => {
    if (request.url() !== address) requests.push(request.url());
  });
  await page.goto(address);
  return { page, complaints, requests, close: () => context.close() };
}
