import type { Dataset, InputFile, Plan } from '../../dataset/index.ts';
import type { Recipe } from '../../synthetic/index.ts';
import type { PlannedKind } from './planned-design.ts';

/** What a plan's size is worked out from. Exactly one of `recipe` and `dataset` says how values spread. */
export interface PlanInput {
  readonly recipe?: Recipe;
  readonly dataset?: Dataset;
  readonly plan?: Plan;
  /** The file the plan was read from, for the provenance. */
  readonly planFile?: InputFile;
  /** How this was typed, for the page: words after `npm run --silent cli --`. */
  readonly command?: readonly string[];
  readonly metric?: string;
  readonly design?: PlannedKind;
  /** The true effect that is assumed, in the unit of the metric, with its sign; the recipe's where left out. */
  readonly effect?: number;
  /** The smallest change that matters where no plan states one. */
  readonly change?: number;
  /** SD of golfers' own changes, where the data cannot tell. */
  readonly changeSd?: number;
  /** Golfers in all, when it is settled and only the chance is asked for. */
  readonly golfers?: number;
  readonly sessions?: number;
  readonly swings?: number;
  /** Share of golfers who leave before the end. */
  readonly leaving?: number;
  /** The wished chance of the right verdict; 0.8 unless given. */
  readonly chance?: number;
  readonly draws?: number;
  readonly seed?: number;
  readonly workers?: number;
}
