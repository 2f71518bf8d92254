import type { Motion } from '../motion.ts';
import { computeSeries, type Series } from '../series.ts';
import {
  findDelivery,
  findFullExtension,
  findLeadArmParallel,
  findTop,
  type InstantChoice,
} from './find-instants.ts';
import type { Found, InstantName } from './instant.ts';
import type { Strike } from './strike.ts';

export interface AllInstants {
  /** Every instant by the definition chosen. */
  readonly chosen: Readonly<Record<InstantName, Found>>;
  /** The same by the definitions that were not chosen, worked out when asked for. */
  readonly others: () => OtherInstants;
}

export type OtherInstants = Readonly<Partial<Record<InstantName, Readonly<Record<string, Found>>>>>;

const TOPS: readonly InstantChoice['top'][] = ['club reversal', 'lead arm reversal', 'pelvis reversal'];
const DELIVERIES: readonly InstantChoice['delivery'][] = ['shaft horizontal', 'hands at hip height'];

/**
 * Every instant of a swing, by the definitions chosen and by the others.
 *
 * @param slow the landmarks that tell the top, filtered as slowly as the movement there is
 */
export function findAllInstants(
  strike: Strike | null,
  motion: Motion,
  series: Series,
  slow: Motion,
  choice: InstantChoice,
  impact: Found,
): AllInstants {
  const noStrike: Found = { missing: 'the club head is not seen moving as in a swing' };
  const ofStrike = (instant: Strike['address']): Found =>
    instant ? { instant } : { missing: 'the capture does not show the club head at rest before the swing' };
  const takeaway = strike ? ofStrike(strike.takeaway) : noStrike;
  const slowSeries = 'instant' in takeaway ? computeSeries(slow) : null;
  const noTop: Found = { missing: 'takeaway or top is missing' };
  const topBy = (way: InstantChoice['top']): Found =>
    'instant' in takeaway && slowSeries ? findTop(slow, slowSeries, takeaway.instant.frame, way) : noTop;
  const top = topBy(choice.top);
  const topFrame = 'instant' in top ? top.instant.frame : null;
  const deliveryBy = (way: InstantChoice['delivery']): Found =>
    topFrame === null ? noTop : findDelivery(motion, series, topFrame, way);
  return {
    chosen: {
      address: strike ? ofStrike(strike.address) : noStrike,
      takeaway,
      top,
      'lead arm parallel': topFrame === null ? noTop : findLeadArmParallel(motion, series, topFrame),
      delivery: deliveryBy(choice.delivery),
      impact,
      'full extension': findFullExtension(motion, series),
    },
    others: () => ({
      top: others(TOPS, choice.top, topBy),
      delivery: others(DELIVERIES, choice.delivery, deliveryBy),
    }),
  };
}

function others<Way extends string>(
  ways: readonly Way[],
  chosen: Way,
  find: (way: Way) => Found,
): Readonly<Record<string, Found>> {
  return Object.fromEntries(ways.filter((way) => way !== chosen).map((way) => [way, find(way)]));
}
