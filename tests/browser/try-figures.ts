import type { Locator, Page } from 'playwright-core';

/** What can be done with the figures of a page, and what of it went wrong. */
export interface TriedFigures {
  /** Points that were asked for their words, by the keyboard and by the mouse, and legends that were switched. */
  readonly read: number;
  readonly pointed: number;
  readonly switched: number;
  /** The figure, and what it did not do. */
  readonly faults: readonly string[];
}

/**
 * Tries each live figure: the arrow keys read out a first and a last point, differing where there are more than one, and Escape
 * ends it; the mouse on a mark brings up words; each name of a legend takes its marks away and brings them back.
 */
export async function tryFigures(page: Page): Promise<TriedFigures> {
  const faults: string[] = [];
  let [read, pointed, switched] = [0, 0, 0];
  for (const host of await page.locator('.live:visible').all()) {
    const id = await host.getAttribute('data-figure');
    if ((await host.getAttribute('tabindex')) !== null) {
      read += 1;
      faults.push(...(await readOut(host)).map((fault) => `${id}: ${fault}`));
      if (await answersMouse(page, host)) pointed += 1;
    }
    for (const button of await host.locator('.legend button').all()) {
      switched += 1;
      faults.push(...(await switchOff(host, button)).map((fault) => `${id}: ${fault}`));
    }
  }
  return { read, pointed, switched, faults };
}

async function readOut(host: Locator): Promise<string[]> {
  const reader = host.locator('.reader');
  await host.focus();
  await host.press('ArrowRight');
  const first = (await reader.textContent()) ?? '';
  const shown = await host.locator('.hoverlayer .hovertext').count();
  await host.press('ArrowLeft');
  const last = (await reader.textContent()) ?? '';
  await host.press('Escape');
  return [
    ...(first.trim() === '' || last.trim() === '' ? ['the arrow keys read out nothing'] : []),
    ...(shown === 0 ? ['the point that is read out has no tooltip'] : []),
    ...(/undefined|NaN|null|\[object|<br|&lt;/.test(first + last)
      ? [`reads out "${first}" and "${last}"`]
      : []),
    ...((await reader.textContent()) === '' ? [] : ['Escape does not end it']),
    ...((await host.locator('.hoverlayer .hovertext').count()) === 0 ? [] : ['Escape leaves the tooltip']),
  ];
}

/** Whether the mouse, put on marks and along lines, brings up words; something else may lie over a few of them. */
async function answersMouse(page: Page, host: Locator): Promise<boolean> {
  await host.scrollIntoViewIfNeeded();
  for (const { x, y } of await places(host)) {
    await page.mouse.move(x, y, { steps: 3 });
    const words = (): Promise<number> => host.locator('.hoverlayer .hovertext').count();
    const answered = (await settled(words, (count) => count > 0, 150)) > 0;
    await page.mouse.move(0, 0);
    if (answered) return true;
  }
  return false;
}

interface Place {
  readonly x: number;
  readonly y: number;
}

/** What is asked of a path of the page, whose types are the browser's. */
interface DrawnLine {
  getTotalLength(): number;
  getPointAtLength(distance: number): { matrixTransform(by: unknown): Place };
  getScreenCTM(): unknown;
}

/** The middles of the first marks, and of lines the starts and middles, on the screen. */
async function places(host: Locator): Promise<Place[]> {
  const marks = await host.locator('.plot .point').evaluateAll((all) =>
    all.slice(0, 5).map((mark) => {
      const { left, right, top, bottom } = mark.getBoundingClientRect();
      return { x: (left + right) / 2, y: (top + bottom) / 2 };
    }),
  );
  const lines = await host.locator('.plot path.js-line').evaluateAll((all) =>
    (all as unknown as DrawnLine[]).slice(-8).flatMap((line) =>
      [0, 0.5].map((part) => {
        const { x, y } = line
          .getPointAtLength(part * line.getTotalLength())
          .matrixTransform(line.getScreenCTM());
        return { x, y };
      }),
    ),
  );
  return [...marks, ...lines];
}

async function switchOff(host: Locator, button: Locator): Promise<string[]> {
  const name = await button.textContent();
  const drawn = (): Promise<number> => host.locator('.plot .trace').count();
  const before = await drawn();
  await button.press('Enter');
  const pressed = await button.getAttribute('aria-pressed');
  const without = await settled(drawn, (count) => count < before);
  await button.press('Enter');
  const after = await settled(drawn, (count) => count === before);
  return [
    ...(pressed === 'false' ? [] : [`"${name}" does not say that it is off`]),
    ...(without < before ? [] : [`"${name}" switched off takes no marks away`]),
    ...(after === before ? [] : [`"${name}" switched on again leaves ${after} of ${before} marks`]),
  ];
}

/** The count once it is as it should be, or after two seconds or as long as is said. */
async function settled(
  count: () => Promise<number>,
  good: (count: number) => boolean,
  within_ms = 2000,
): Promise<number> {
  const end = Date.now() + within_ms;
  for (;;) {
    const now = await count();
    if (good(now) || Date.now() > end) return now;
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}
