import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Finding } from '../../src/studies/finding.ts';
import { hostile } from './fixture.ts';

const reports = fileURLToPath(new URL('../../reports', import.meta.url));

/** The Finding of each study whose report is kept in reports/: a cohort of known truth, asked once. */
export const studyFindings: readonly (readonly [string, Finding])[] = readdirSync(reports)
  .sort()
  .flatMap((folder) => {
    const file = join(reports, folder, 'finding.json');
    try {
      return [[folder, JSON.parse(readFileSync(file, 'utf8')) as Finding] as const];
    } catch {
      return [];
    }
  });

/** Fields whose text a person may have typed, or that may hold such a text. */
const typed = new Set(
  (
    'answer arm arms cause cautions club column date definition device devices file golfer golfers id ids ' +
    'instructor instructors label meaning name names next question session sessions swing table title version ' +
    'warnings what why words'
  ).split(' '),
);

/**
 * The Finding with hostile text in front of every text that somebody may have typed, wherever it stands. The same text
 * becomes the same hostile one, so that rows still belong together.
 */
export function poisoned(finding: Finding): Finding {
  const known = new Map<string, string>();
  const nasty = (text: string): string => {
    const own = known.get(text) ?? `${hostile[(known.size * 3) % hostile.length]} ${text}`;
    known.set(text, own);
    return own;
  };
  const walk = (value: unknown, key: string): unknown => {
    if (typeof value === 'string') return typed.has(key) ? nasty(value) : value;
    if (Array.isArray(value)) return value.map((inner) => walk(inner, key));
    if (value === null || typeof value !== 'object') return value;
    return Object.fromEntries(Object.entries(value).map(([own, inner]) => [own, walk(inner, own)]));
  };
  return walk(finding, '') as Finding;
}
