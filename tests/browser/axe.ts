import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface AxeResult {
  readonly violations: readonly { id: string; nodes: { target: string[]; failureSummary: string }[] }[];
}

/** What the accessibility engine axe-core finds wrong on a page with every detail open: rule, first place, why. */
export async function axeViolations(page: Page): Promise<string[]> {
  await page.locator('details').evaluateAll((all) => {
    for (const one of all) one.setAttribute('open', '');
  });
  await page.evaluate(source);
  const { violations } = await page.evaluate<AxeResult>("axe.run({ resultTypes: ['violations'] })");
  return violations.map(
    ({ id, nodes }) => `${id}: ${nodes[0]?.target.join(' ')} ${nodes[0]?.failureSummary}`,
  );
}
