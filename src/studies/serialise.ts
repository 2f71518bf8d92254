import { canonicalJson } from '../dataset/index.ts';
import type { Finding } from './finding.ts';

/**
 * A finding as JSON text with a line end; the same finding gives the same bytes.
 *
 * @throws Error when a number in it is not finite: a finding holds null where there is no number
 * @example serialiseFinding(finding).startsWith('{\n  "study": "drill-trial"') // true
 */
export function serialiseFinding(finding: Finding): string {
  return `${canonicalJson(finding, { indent: 2, sortKeys: false })}\n`;
}
