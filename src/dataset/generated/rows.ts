/** Written by data-schemas/generate.ts. Do not edit: change the schemas and run it again. */

/** One row for each golfer. */
export interface GolferRow {
  /** A code for the golfer, never a name. The same code, letter for letter, is used in every other table. */
  readonly golfer_id: string;
  /** right or left handed: the side the golfer plays from, not writes with. */
  readonly plays: 'right' | 'left';
  /** The handicap index; a golfer better than scratch (a plus handicap) is a negative number. */
  readonly handicap_index: number | null;
  /** An age band such as 40-49. Never a date of birth. */
  readonly age_band: string | null;
  /** Height in centimetres. */
  readonly height_cm: number | null;
  /** What the golfer (or the guardian of a minor) has agreed to: none, coaching (only the lessons), study (a test such as this), share (also results handed on without the name). */
  readonly consent_scope: string | null;
  /** The day the consent was given, as year-month-day. */
  readonly consent_date: string | null;
  /** Who gave the consent: self, or guardian (a parent or guardian; for a minor it takes one). */
  readonly consent_by: 'self' | 'guardian' | null;
}

/** One row for each instructor. */
export interface InstructorRow {
  /** A code for the instructor, never a name. */
  readonly instructor_id: string;
  /** The day the instructor joined, as year-month-day. */
  readonly joined_on: string | null;
}

/** One row for each visit of a golfer. */
export interface SessionRow {
  /** A code for the visit, used once. */
  readonly session_id: string;
  /** The golfer, exactly as in golfers.csv. */
  readonly golfer_id: string;
  /** The instructor, exactly as in instructors.csv; empty if there was none. */
  readonly instructor_id: string | null;
  /** The day of the visit, as year-month-day. */
  readonly date: string;
  /** baseline (before any coaching of this claim), training, post (straight after the training), retention (some time later, to see whether it lasted). */
  readonly phase: 'baseline' | 'training' | 'post' | 'retention';
  /** What measured the swings, in a word or code of your own. Two devices are two words. */
  readonly device: string | null;
  /** Frames a second of the capture. */
  readonly rate_hz: number | null;
  /** What the ball was hit from: mat, turf, board and so on. */
  readonly surface: string | null;
}

/** One row for each swing. After the first six columns comes one column for each number measured; leave out the columns you do not have. Any of them may be followed by the same name with _sd: how uncertain that one value is (one standard deviation). */
export interface SwingRow {
  /** A code for the swing, used once. */
  readonly swing_id: string;
  /** The session, exactly as in sessions.csv. */
  readonly session_id: string;
  /** 1 for the first swing of the session, 2 for the second, and so on. */
  readonly order_in_session: number;
  /** full (full swing), partial (a shorter swing), drill (the drill itself), chip. */
  readonly task: 'full' | 'partial' | 'drill' | 'chip';
  /** The club, in a word or code of your own. */
  readonly club: string | null;
  /** How fast the golfer meant to swing, as a percentage of a full swing. */
  readonly speed_intent_pct: number | null;
  /** How far the trail elbow is bent when the club changes direction at the top. Unit: deg. Sign: 0 = straight arm; larger = more bent. */
  readonly trail_elbow_flexion_top_deg: number | null;
  /** How uncertain this one value of trail_elbow_flexion_top_deg is: one standard deviation, in deg. */
  readonly trail_elbow_flexion_top_deg_sd: number | null;
  /** The most the trail elbow is bent between the top and impact; at least the bend at the top. Unit: deg. Sign: 0 = straight arm; larger = more bent. */
  readonly trail_elbow_flexion_peak_deg: number | null;
  /** How uncertain this one value of trail_elbow_flexion_peak_deg is: one standard deviation, in deg. */
  readonly trail_elbow_flexion_peak_deg_sd: number | null;
  /** How far the trail elbow is bent when the lead arm is level with the ground in the downswing. Unit: deg. Sign: 0 = straight arm; larger = more bent. */
  readonly trail_elbow_flexion_arm_parallel_deg: number | null;
  /** How uncertain this one value of trail_elbow_flexion_arm_parallel_deg is: one standard deviation, in deg. */
  readonly trail_elbow_flexion_arm_parallel_deg_sd: number | null;
  /** How far the trail elbow is still bent when the club meets the ball. Unit: deg. Sign: 0 = straight arm; larger = more bent. */
  readonly trail_elbow_flexion_impact_deg: number | null;
  /** How uncertain this one value of trail_elbow_flexion_impact_deg is: one standard deviation, in deg. */
  readonly trail_elbow_flexion_impact_deg_sd: number | null;
  /** How much more the trail elbow bends after the top before it starts to straighten. Unit: deg. Sign: 0 or more; 0 = the elbow never bends further after the top. */
  readonly elbow_recoil_deg: number | null;
  /** How uncertain this one value of elbow_recoil_deg is: one standard deviation, in deg. */
  readonly elbow_recoil_deg_sd: number | null;
  /** Whether the trail elbow straightens or bends further early in the downswing, and by how much. Unit: deg. Sign: negative = the elbow straightened; positive = it bent further. */
  readonly transition_elbow_change_deg: number | null;
  /** How uncertain this one value of transition_elbow_change_deg is: one standard deviation, in deg. */
  readonly transition_elbow_change_deg_sd: number | null;
  /** Time from the top until the trail elbow has straightened by a set amount (default 5 deg) below its bend at the top. Unit: ms. Sign: 0 or more; smaller = earlier. */
  readonly elbow_extension_onset_ms: number | null;
  /** How uncertain this one value of elbow_extension_onset_ms is: one standard deviation, in ms. */
  readonly elbow_extension_onset_ms_sd: number | null;
  /** The greatest speed at which the trail elbow straightens before impact. Unit: deg/s. Sign: 0 or more; larger = faster straightening. */
  readonly elbow_extension_speed_peak_dps: number | null;
  /** How uncertain this one value of elbow_extension_speed_peak_dps is: one standard deviation, in deg/s. */
  readonly elbow_extension_speed_peak_dps_sd: number | null;
  /** The angle between lead forearm and shaft at the top. Unit: deg. Sign: 0 = shaft in line with the lead forearm; 90 = a right angle. */
  readonly lag_top_deg: number | null;
  /** How uncertain this one value of lag_top_deg is: one standard deviation, in deg. */
  readonly lag_top_deg_sd: number | null;
  /** The most the shaft trails the lead forearm between the top and impact. Unit: deg. Sign: 0 = shaft in line with the lead forearm; 90 = a right angle. */
  readonly lag_peak_deg: number | null;
  /** How uncertain this one value of lag_peak_deg is: one standard deviation, in deg. */
  readonly lag_peak_deg_sd: number | null;
  /** The angle between lead forearm and shaft when the shaft is level with the ground in the downswing. Unit: deg. Sign: 0 = shaft in line with the lead forearm; 90 = a right angle. */
  readonly lag_delivery_deg: number | null;
  /** How uncertain this one value of lag_delivery_deg is: one standard deviation, in deg. */
  readonly lag_delivery_deg_sd: number | null;
  /** The angle between lead forearm and shaft at impact; in 3-D it does not reach 0. Unit: deg. Sign: 0 = shaft in line with the lead forearm; 90 = a right angle. */
  readonly lag_impact_deg: number | null;
  /** How uncertain this one value of lag_impact_deg is: one standard deviation, in deg. */
  readonly lag_impact_deg_sd: number | null;
  /** How long before impact the lag angle has dropped by a set share (default 10 %) of its peak. Unit: ms. Sign: positive = before impact; smaller = a later release. */
  readonly release_onset_ms: number | null;
  /** How uncertain this one value of release_onset_ms is: one standard deviation, in ms. */
  readonly release_onset_ms_sd: number | null;
  /** How much of the downswing has passed when the release begins. Unit: %. Sign: 0 = at the top, 100 = at impact; larger = a later release. */
  readonly release_timing_pct: number | null;
  /** How uncertain this one value of release_timing_pct is: one standard deviation, in %. */
  readonly release_timing_pct_sd: number | null;
  /** How far the shaft leans toward the target when the club meets the ball, seen from face on. Unit: deg. Sign: positive = grip ahead of the head, toward the target. */
  readonly shaft_lean_impact_deg: number | null;
  /** How uncertain this one value of shaft_lean_impact_deg is: one standard deviation, in deg. */
  readonly shaft_lean_impact_deg_sd: number | null;
  /** How far the pelvis has turned toward the target at impact. Unit: deg. Sign: 0 = square to the target line; positive = open to the target. */
  readonly pelvis_turn_impact_deg: number | null;
  /** How uncertain this one value of pelvis_turn_impact_deg is: one standard deviation, in deg. */
  readonly pelvis_turn_impact_deg_sd: number | null;
  /** How far the chest has turned toward the target at impact. Unit: deg. Sign: 0 = square to the target line; positive = open to the target. */
  readonly thorax_turn_impact_deg: number | null;
  /** How uncertain this one value of thorax_turn_impact_deg is: one standard deviation, in deg. */
  readonly thorax_turn_impact_deg_sd: number | null;
  /** Time from the top to impact. Unit: ms. Sign: positive. */
  readonly downswing_ms: number | null;
  /** How uncertain this one value of downswing_ms is: one standard deviation, in ms. */
  readonly downswing_ms_sd: number | null;
  /** The greatest speed of the hands (the grip point) before impact. Unit: m/s. Sign: positive. */
  readonly hand_speed_peak_mps: number | null;
  /** How uncertain this one value of hand_speed_peak_mps is: one standard deviation, in m/s. */
  readonly hand_speed_peak_mps_sd: number | null;
  /** The speed of the club head just before it meets the ball. Unit: m/s. Sign: positive. */
  readonly club_speed_mps: number | null;
  /** How uncertain this one value of club_speed_mps is: one standard deviation, in m/s. */
  readonly club_speed_mps_sd: number | null;
  /** How steeply the club head is moving down or up when it meets the ball. Unit: deg. Sign: negative = the head travels down at impact; positive = up. */
  readonly attack_angle_deg: number | null;
  /** How uncertain this one value of attack_angle_deg is: one standard deviation, in deg. */
  readonly attack_angle_deg_sd: number | null;
  /** Where the lowest point of the club head's path lies relative to the ball. Unit: cm. Sign: positive = ahead of the ball, toward the target. */
  readonly low_point_cm: number | null;
  /** How uncertain this one value of low_point_cm is: one standard deviation, in cm. */
  readonly low_point_cm_sd: number | null;
  /** The loft of the club face at impact. Unit: deg. Sign: positive = the face looks up. */
  readonly dynamic_loft_deg: number | null;
  /** How uncertain this one value of dynamic_loft_deg is: one standard deviation, in deg. */
  readonly dynamic_loft_deg_sd: number | null;
  /** The speed of the ball just after impact. Unit: m/s. Sign: positive. */
  readonly ball_speed_mps: number | null;
  /** How uncertain this one value of ball_speed_mps is: one standard deviation, in m/s. */
  readonly ball_speed_mps_sd: number | null;
  /** Ball speed divided by club head speed: how much of the club's speed the ball got. Unit: ratio. Sign: positive; about 1.2 to 1.5 on full swings. */
  readonly smash_factor: number | null;
  /** How uncertain this one value of smash_factor is: one standard deviation, in ratio. */
  readonly smash_factor_sd: number | null;
  /** How far from the centre of the face the ball was struck. Unit: mm. Sign: 0 = face centre; larger = further away, whichever way. */
  readonly impact_offset_mm: number | null;
  /** How uncertain this one value of impact_offset_mm is: one standard deviation, in mm. */
  readonly impact_offset_mm_sd: number | null;
  /** How well the ball was struck, rated by someone who does not know the phase of the session. Unit: rating 1 to 5. Sign: 1 = poorest, 5 = best. */
  readonly strike_rating: number | null;
  /** Whether the club touched the ground, mat or board before the ball. Unit: yes/no. Sign: yes = the club struck ground or board before the ball. */
  readonly ground_first: boolean | null;
  /** When the swing was made, hours:minutes:seconds by the clock of the device, from 00:00:00 to 23:59:59; parts of a second may follow a point. Another device's numbers are joined by it. */
  readonly time_of_day: string | null;
}

/** One row for each golfer in a trial: which arm, and from when. A golfer who changes arm has one row for each arm. */
export interface AssignmentRow {
  /** The golfer, exactly as in golfers.csv. */
  readonly golfer_id: string;
  /** A code for the trial. */
  readonly trial_id: string;
  /** The group: for example drill or control. */
  readonly arm: string;
  /** The day the golfer was put in the arm, as year-month-day. */
  readonly assigned_on: string;
  /** The block within which the golfer was assigned, if any. */
  readonly stratum: string | null;
}

/** One row for each practice bout. */
export interface PracticeRow {
  /** The golfer, exactly as in golfers.csv. */
  readonly golfer_id: string;
  /** The day of the practice, as year-month-day. */
  readonly date: string;
  /** The drill, in a word or code of your own. */
  readonly drill: string | null;
  /** How many times. */
  readonly reps: number | null;
  /** How fast, as a percentage of a full swing. */
  readonly speed_pct: number | null;
  /** How far the ball was meant to go, in metres; 0 without a ball. */
  readonly distance_m: number | null;
  /** How many of the repetitions struck the ground or board before the ball. */
  readonly ground_first_count: number | null;
}

/** One row for each raw capture file. */
export interface CaptureRow {
  /** The swing, exactly as in swings.csv. */
  readonly swing_id: string;
  /** The file, as a path inside this folder with / between its parts. */
  readonly file: string;
  /** The SHA-256 hash of the file: 64 characters from 0-9 and a-f. */
  readonly sha256: string;
  /** The capture layout file that says which channel is which landmark. */
  readonly layout: string | null;
}

/** The row type of each table, by its name. */
export interface TableRows {
  readonly golfers: GolferRow;
  readonly instructors: InstructorRow;
  readonly sessions: SessionRow;
  readonly swings: SwingRow;
  readonly assignments: AssignmentRow;
  readonly practice: PracticeRow;
  readonly captures: CaptureRow;
}

/** The name of a table. */
export type TableName = keyof TableRows;

/** Every table, in an order in which each refers only to those before it. */
export const TABLE_NAMES = [
  'golfers',
  'instructors',
  'sessions',
  'swings',
  'assignments',
  'practice',
  'captures',
] as const satisfies readonly TableName[];
