import type { Finding } from '../../studies/index.ts';
import { isDrillTrial } from '../drill-trial/is-drill-trial.ts';
import { degreesBySign } from '../own-words.ts';
import { golferPage } from './golfer-page.ts';
import { rosterPage } from './roster-page.ts';

/**
 * A page for each golfer of a drill trial, and the coach's list that links them, by file name; none for another study.
 * A file is named by its place in the list, never by a text from the data.
 *
 * @param except golfers for whom no page may be made, such as minors without a guardian's consent
 * @example Object.keys(golferPages(finding)) // ['golfers.html', 'golfers/golfer-01.html', 'golfers/golfer-02.html', ...]
 */
export function golferPages(
  original: Finding,
  except: ReadonlySet<string> = new Set(),
): Record<string, string> {
  const finding = degreesBySign(original);
  if (!isDrillTrial(finding)) return {};
  const golfers = finding.tables.golfers.filter(({ golfer }) => !except.has(golfer));
  const digits = Math.max(2, String(golfers.length).length);
  const entries = golfers.map((golfer, k) => ({
    golfer,
    file: `golfers/golfer-${String(k + 1).padStart(digits, '0')}.html`,
  }));
  return {
    'golfers.html': rosterPage(finding, entries),
    ...Object.fromEntries(entries.map(({ golfer, file }) => [file, golferPage(finding, golfer)])),
  };
}
