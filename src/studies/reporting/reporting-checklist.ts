import { count, list } from '../shared/words.ts';
import type { ReportingSources } from './answers.ts';
import { GUIDELINES } from './guidelines.ts';
import type { Guideline, ReportingChecklist, ReportingItem } from './reporting.ts';

/** Which lists a study answers to. */
const LISTS: Readonly<Record<string, readonly Guideline[]>> = {
  'drill-trial': ['CONSORT', 'TIDieR'],
  'one-golfer': ['SCRIBE', 'TIDieR'],
};
const OTHERS: readonly Guideline[] = ['STROBE'];

/**
 * What a report of this study should state, filled from the data, the plan and the answer, with what is missing
 * named and where to write it. The items are those of CONSORT 2025 and TIDieR for a trial of a drill, SCRIBE 2016 and
 * TIDieR for one golfer, STROBE for the others, in words of our own and largely from memory.
 *
 * @example
 * reportingChecklist({ finding, plan: null, dataset }).items.find((item) => item.key === 'funding')?.state // 'missing'
 */
export function reportingChecklist(sources: ReportingSources): ReportingChecklist {
  const guidelines = Object.hasOwn(LISTS, sources.finding.study) ? LISTS[sources.finding.study]! : OTHERS;
  const items = guidelines.flatMap((guideline) =>
    GUIDELINES[guideline].map(
      ({ key, asks, answer }): ReportingItem => ({ guideline, key, asks, ...answer(sources) }),
    ),
  );
  const of = (state: ReportingItem['state']) => items.filter((item) => item.state === state);
  const absent = of('missing');
  const words =
    absent.length === 0
      ? `All ${items.length} items of ${list(guidelines)} are stated at least in part.`
      : `${count(absent.length, 'item')} of ${items.length} (${list(guidelines)}) ${absent.length === 1 ? 'is' : 'are'} missing: ${list(absent.map(({ asks }) => asks))}.`;
  return {
    guidelines,
    items,
    stated: of('stated').length,
    partly: of('partly').length,
    missing: absent.length,
    words,
  };
}
