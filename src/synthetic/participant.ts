import type { Allocation, PlannedVisit, Schedule } from './design/schedule.ts';
import type { Bout } from './model/dose.ts';
import type { Golfer } from './model/golfer.ts';
import type { MeasuredVisit } from './visit.ts';

/** A visit that took place, as one device saw it. */
export interface SeenVisit extends MeasuredVisit {
  readonly planned: PlannedVisit;
}

/** A golfer who takes part, and everything that happened to them. */
export interface Participant {
  readonly id: string;
  readonly instructor: string;
  readonly stratum: string;
  readonly golfer: Golfer;
  readonly allocation: Allocation;
  readonly schedule: Schedule;
  /** One list for each practice window, whole as if the golfer had stayed. */
  readonly bouts: readonly (readonly Bout[])[];
  /** Repetitions of the drill as a multiple of the average; 1 for a golfer without the drill. */
  readonly dose: number;
  readonly visits: readonly SeenVisit[];
  readonly leftEarly: boolean;
}
