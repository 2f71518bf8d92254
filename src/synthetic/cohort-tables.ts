import type { AssignmentRow, GolferRow, PracticeRow, RowsInput, SessionRow } from '../dataset/index.ts';
import { addDays } from './calendar.ts';
import type { Participant } from './participant.ts';
import type { Recipe } from './recipe/recipe.ts';

/** The tables of a cohort, as rows with the columns of the dataset's schemas. */
export type CohortTables = Required<
  Pick<RowsInput, 'golfers' | 'instructors' | 'sessions' | 'swings' | 'assignments' | 'practice'>
>;

/** What happened to the participants, as the tables of a dataset. */
export function cohortTables(recipe: Recipe, participants: readonly Participant[]): CohortTables {
  const { firstDate } = recipe.session;
  return {
    golfers: participants.map((participant) => golferRow(participant, firstDate)),
    instructors: Array.from({ length: recipe.roster.instructors }, (_, at) => ({
      instructor_id: `I${at + 1}`,
      joined_on: addDays(firstDate, -400 * (at + 1)),
    })),
    sessions: participants.flatMap((participant) => sessionRows(recipe, participant)),
    swings: participants.flatMap(swingRows),
    assignments: participants.flatMap(({ id, schedule, stratum }): AssignmentRow[] =>
      schedule.assignments.map(({ arm, day }) => ({
        golfer_id: id,
        trial_id: 'T1',
        arm,
        assigned_on: addDays(firstDate, day),
        stratum,
      })),
    ),
    practice: participants.flatMap((participant) => practiceRows(recipe, participant)),
  };
}

function golferRow({ id, golfer }: Participant, firstDate: string): Omit<GolferRow, 'consent_by'> {
  return {
    golfer_id: id,
    plays: golfer.plays,
    handicap_index: golfer.handicap,
    age_band: golfer.ageBand,
    height_cm: golfer.heightCm,
    consent_scope: 'study',
    consent_date: addDays(firstDate, -7),
  };
}

const swingId = (session: string, order: number) => `${session}-${String(order).padStart(2, '0')}`;
const sessionId = (golfer: string, at: number) => `${golfer}-S${at + 1}`;

function sessionRows(recipe: Recipe, { id, instructor, visits }: Participant): SessionRow[] {
  const { firstDate, surface } = recipe.session;
  return visits.map(({ planned, device }, at) => ({
    session_id: sessionId(id, at),
    golfer_id: id,
    instructor_id: instructor,
    date: addDays(firstDate, planned.day),
    phase: planned.phase,
    device: device?.name ?? recipe.session.device,
    rate_hz: device?.rateHz ?? recipe.session.rateHz,
    surface,
  }));
}

/** The rows of the visits themselves, once they have their ids. */
function swingRows({ id, visits }: Participant): CohortTables['swings'] {
  return visits.flatMap(({ swings }, at) => {
    for (const swing of swings) {
      swing.session_id = sessionId(id, at);
      swing.swing_id = swingId(swing.session_id, swing.order_in_session);
    }
    return swings;
  });
}

/** The practice a golfer logged; whoever left wrote nothing down after the last visit. */
function practiceRows(recipe: Recipe, participant: Participant): PracticeRow[] {
  const { practiceLog, session } = recipe;
  const lastDay = participant.leftEarly ? (participant.visits.at(-1)?.planned.day ?? 0) : Infinity;
  return participant.schedule.windows.flatMap(({ arm, from }, window) =>
    participant.bouts[window]!.filter((bout) => from + bout.day <= lastDay).map((bout) => ({
      golfer_id: participant.id,
      date: addDays(session.firstDate, from + bout.day),
      drill: arm === 'drill' ? practiceLog.drillName : practiceLog.controlName,
      reps: bout.reps,
      speed_pct: bout.speedPct,
      distance_m: bout.distanceM,
      ground_first_count: bout.groundFirst,
    })),
  );
}
