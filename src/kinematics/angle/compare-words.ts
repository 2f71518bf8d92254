import { median } from '../../numerics/index.ts';
import { NEARLY_STRAIGHT_DEG as BENT_DEG } from '../geometry/isb-frames.ts';
import type { ElbowViews } from './compare-elbows.ts';

/** Above this the elbow is well bent, deg. */
const WELL_BENT_DEG = 60;

/** Mean and standard deviation (n - 1; 0 for one value). */
export function spreadOf(values: readonly number[]): { readonly mean: number; readonly sd: number } {
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  const squares = values.reduce((sum, v) => sum + (v - mean) ** 2, 0);
  return { mean, sd: values.length > 1 ? Math.sqrt(squares / (values.length - 1)) : 0 };
}

/** Why three points differ from ISB flexion when they share both segments: the carrying angle, and it alone. */
export function whyThreePoint(views: readonly ElbowViews[]): string {
  const carrying = views.map(({ isb }) => isb.carrying_deg);
  const difference = (some: readonly ElbowViews[]): string =>
    deg(spreadOf(some.map((view) => view.ulnar_deg - view.isb.flexion_deg)).mean);
  const near = views.filter(({ isb }) => Math.abs(isb.flexion_deg) < BENT_DEG);
  const bent = views.filter(({ isb }) => isb.flexion_deg > WELL_BENT_DEG);
  const where = [
    near.length === 0 ? '' : `${difference(near)} on average within ${BENT_DEG} deg of straight`,
    bent.length === 0 ? '' : `${difference(bent)} beyond ${WELL_BENT_DEG} deg`,
  ].filter((part) => part !== '');
  return [
    'Both use the same lines of upper arm and forearm, so that cos(three-point) = cos(flexion) cos(carrying):',
    `the carrying angle, here ${range(carrying)}, makes the whole difference.`,
    'Three points count sideways bend as flexion, and most of it where there is little flexion to add it to',
    where.length === 0 ? '.' : `(${where.join(', ')}).`,
  ]
    .join(' ')
    .replace(' .', '.');
}

/** What the end of the forearm adds. */
export function whyWrist(views: readonly ElbowViews[]): string {
  const turns = views.map((view) => view.forearmTurn_deg);
  const further = spreadOf(views.map((view) => view.wrist_deg - view.ulnar_deg));
  return `Beside the carrying angle, the forearm ends elsewhere: its line to the middle of the styloids is turned by ${range(turns)} from the one to the ulnar styloid, which moves the angle by ${deg(further.mean)} on average (SD ${deg(further.sd)}) from the definition above.`;
}

/** What a flat picture along an axis loses. */
export function whyView(views: readonly ElbowViews[], axis: string, k: number): string {
  const bent = views.filter(({ ulnar_deg }) => ulnar_deg >= BENT_DEG);
  if (bent.length === 0)
    return `The elbow is within ${BENT_DEG} deg of straight in every row, so that the plane of the arm, and how it stands to the picture, is not known.`;
  const turned = bent.map((view) => view.outOfPicture_deg[k]!);
  const middle = median(turned)!;
  const wrong = median(bent.map((view) => Math.abs(view.seen_deg[k]! - view.ulnar_deg)))!;
  return `A picture shows the angle true only when the plane of the arm lies in it. Seen along ${axis} that plane is turned out of the picture by ${range(turned)} (half the rows above ${deg(middle)}; rows bent by ${BENT_DEG} deg or more), and the flat angle misses the one in space by ${deg(wrong)} in the middle row.`;
}

function range(values: readonly number[]): string {
  const low = values.reduce((a, b) => Math.min(a, b));
  const high = values.reduce((a, b) => Math.max(a, b));
  return `${low.toFixed(1)} to ${deg(high)}`;
}

const deg = (value: number): string => `${value.toFixed(1)} deg`;
