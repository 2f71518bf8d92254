import { folded, nearest } from '../read/nearest.ts';
import { ASK } from './mapping.ts';
import type { CellKind } from './sheet.ts';
import type { Target } from './targets.ts';

/** Words in use for the words of the tables (no source but common practice). */
const MEANT: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  plays: { r: 'right', rh: 'right', righty: 'right', l: 'left', lh: 'left', lefty: 'left' },
  phase: {
    pre: 'baseline',
    before: 'baseline',
    base: 'baseline',
    after: 'post',
    during: 'training',
    followup: 'retention',
  },
  task: { fullswing: 'full', half: 'partial', pitch: 'partial' },
  ground_first: {
    y: 'yes',
    n: 'no',
    true: 'yes',
    false: 'no',
    '1': 'yes',
    '0': 'no',
    x: 'yes',
    fat: 'yes',
    clean: 'no',
  },
};
const MOST = 100;

/** For each word of the sheet that is not the table's own, what it means; "ask" where that is not known. */
export function proposeWords(
  target: Target,
  values: readonly { readonly text: string; readonly kind: CellKind }[],
): { written: string; means: string }[] {
  const allowed = target.field.type === 'boolean' ? ['yes', 'no'] : target.field.constraints?.enum;
  if (allowed === undefined) return [];
  const written = [...new Set(values.map(({ text }) => text.trim()))].filter(
    (text) => text !== '' && !allowed.includes(text),
  );
  const known = MEANT[target.column];
  return written.slice(0, MOST).map((word) => {
    const key = folded(word);
    const meant = known !== undefined && Object.hasOwn(known, key) ? known[key] : undefined;
    return { written: word, means: meant ?? nearest(word, allowed) ?? ASK };
  });
}
