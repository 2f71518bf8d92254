import type { RosterSession, RosterSwing } from '../shared/roster.ts';
import type { StudyMetric } from '../shared/study-metric.ts';

/** The rows the study looks at: the whole roster's, since other golfers tell how noisy a session is. */
export interface OneGolferData {
  readonly metric: StudyMetric;
  readonly golfers: readonly string[];
  readonly sessions: readonly RosterSession[];
  readonly swings: readonly RosterSwing[];
}
