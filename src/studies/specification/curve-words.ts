import { amount, count, figure, unitWords } from '../shared/words.ts';
import type { SpecificationCurve } from './specification.ts';

const VERDICT_WORDS = {
  meaningful: 'a change that matters',
  'too-small-to-matter': 'too small to matter',
  opposite: 'a change the other way',
  'cannot-tell': 'cannot tell',
} as const;

/** What the whole curve says: whether the answer survives, how far it moves, and which choice moves it. */
export function curveWords(curve: Omit<SpecificationCurve, 'words'>): string {
  const { rows, answered, sameVerdict, verdict, influences, choices, scale } = curve;
  const refused = rows.length - answered;
  const without =
    refused === 0
      ? ''
      : ` ${count(refused, 'combination gives', 'combinations give')} no estimate; the table says why.`;
  if (answered < 2)
    return `The question could be asked in ${count(answered, 'way')} only, so nothing can be said about other choices.${without}`;
  const holds =
    sameVerdict === answered
      ? `The verdict (${VERDICT_WORDS[verdict]}) is the same in all ${answered} combinations of the choices.`
      : `The verdict (${VERDICT_WORDS[verdict]}) is the same in ${sameVerdict} of ${answered} combinations of the choices; in the others it is not, so it rests on choices.`;
  const values = rows.flatMap((row) => (row.value === null ? [] : [row.value]));
  const low = Math.min(...values);
  const high = Math.max(...values);
  const show = (value: number) =>
    scale.kind === 'unit' ? figure(value, decimalsFor(high - low)) : figure(value, 1);
  const unit =
    scale.kind === 'unit' ? ` ${unitWords(scale.unit)}`.trimEnd() : ' times the smallest change that matters';
  const range = `The estimates run from ${show(low)} to ${show(high)}${unit}.`;
  const [first] = influences;
  const moved =
    first === undefined || first.spread === 0 || high === low
      ? ' No choice moves it.'
      : ` What moves it most is ${choices.find(({ key }) => key === first.choice)!.words}: by ${
          scale.kind === 'unit'
            ? amount(first.spread, scale.unit, decimalsFor(first.spread))
            : `${figure(first.spread, 1)} times the smallest change`
        } on average over the other choices.`;
  return `${holds} ${range}${moved}${without} All combinations were laid down before any was looked at; none was picked.`;
}

/** Decimals by which a spread can be seen: two digits of it. */
function decimalsFor(spread: number): number {
  return spread > 0 ? Math.min(4, Math.max(0, 1 - Math.floor(Math.log10(spread)))) : 1;
}
