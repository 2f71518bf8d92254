import { readFile } from 'node:fs/promises';
import { expect, it } from 'vitest';
import { findingInWords } from '../../src/cli/finding-words.ts';
import type { Finding } from '../../src/studies/index.ts';

const finding: Finding = JSON.parse(
  await readFile(new URL('../../reports/drill-trial/finding.json', import.meta.url), 'utf8'),
);

it.each([
  [0.4, -1.01, true],
  [-0.3, -1.2, true],
  [0.4, 0.1, false],
])('of an SD of %d with an interval from %d it says what below zero means: %s', (value, low, said) => {
  const estimates = finding.estimates.map((estimate) =>
    estimate.name.startsWith('SD of true individual responses')
      ? { ...estimate, value, interval: [low, 1.16] as const }
      : estimate,
  );
  const words = findingInWords({ ...finding, estimates }).replace(/\s+/g, ' ');
  expect(words.includes('Below zero means that changes varied more without the drill')).toBe(said);
});
