import type { SmallestChange } from '../finding.ts';
import { askedChange, plannedChange } from '../shared/smallest-change.ts';
import { amount } from '../shared/words.ts';
import type { NoiseAnswer } from './analyse.ts';
import type { NoiseRequest } from './noise-request.ts';

/** What matters: asked for, planned, or 0.2 of the SD between golfers; null where golfers cannot be told apart. */
export function smallestOf({ options, metric }: NoiseRequest, answer: NoiseAnswer): SmallestChange | null {
  const { unit, goodDirection } = metric;
  if (options.change !== undefined) return askedChange(metric, options.change);
  const plan = options.plan?.metric.column === metric.column ? options.plan : undefined;
  const planned = plan?.smallestChangeThatMatters;
  if (planned !== undefined) return plannedChange(metric, planned);
  const sd = answer.golferSd?.value ?? 0;
  if (!(sd > 0)) return null;
  return {
    value: 0.2 * sd,
    unit,
    from: 'default',
    why: `No plan states one, so the default was taken: 0.2 x the SD between golfers (${amount(sd, unit, metric.decimals + 1)}), the noise taken out (Hopkins 2004, Sportscience 8:1-7). Unlike in a trial it is not raised to what the measurement can resolve, since that is the question here. A coach who knows what matters should state it in a plan, or with --change.`,
    goodDirection,
  };
}
