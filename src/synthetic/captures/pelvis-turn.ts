import type { PlaneSwing } from './plane-swing.ts';
import { quintic, quinticAt } from './quintic.ts';

/** Turn of the pelvis at the top, at impact and where the capture ends, deg, + = open. Design assumption. */
const AT_TOP_DEG = -40;
const AT_IMPACT_DEG = 36;
const AT_END_DEG = 80;
/** How long before the club the pelvis turns round, s, and how fast it turns at impact, deg/s. Design assumption. */
const LEADS_BY_S = 0.05;
const SPEED_AT_IMPACT_DEG_S = 250;

/** Turn of the pelvis (deg) at a time (s from impact): beside the mechanics, since the model has no pelvis. */
export function pelvisTurn({ start_s, top_s, end_s }: PlaneSwing): (time_s: number) => number {
  const still = (position: number) => ({ position, speed: 0, acceleration: 0 });
  const turns_s = top_s - LEADS_BY_S;
  const impact = { position: AT_IMPACT_DEG, speed: SPEED_AT_IMPACT_DEG_S, acceleration: 0 };
  const back = quintic(start_s, still(0), turns_s, still(AT_TOP_DEG));
  const down = quintic(turns_s, still(AT_TOP_DEG), 0, impact);
  const through = quintic(0, impact, end_s, still(AT_END_DEG));
  return (time) => {
    if (time <= start_s) return 0;
    if (time < turns_s) return quinticAt(back, time);
    return quinticAt(time < 0 ? down : through, Math.min(time, end_s));
  };
}
