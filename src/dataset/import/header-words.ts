import { metricCatalogue } from '../../kinematics/index.ts';
import { folded } from '../read/nearest.ts';
import { TARGET_NAMES, TIME_OF_DAY } from './targets.ts';
import { unitIn } from './units.ts';

/** What a header says of its column. */
export interface HeaderReading {
  /** Targets whose words all stand in the header. */
  readonly sure: readonly string[];
  /** Targets of which the header leaves something open, such as the instant. */
  readonly open: readonly string[];
  /** Whether it is the very name of a column of a table. */
  readonly exact: boolean;
  readonly unit: string | null;
  readonly included: boolean;
  readonly side: 'right' | 'left' | null;
  /** What it is, where it is something that no table has. */
  readonly foreign: boolean;
}

interface Words {
  readonly to: string;
  readonly about: RegExp;
  /** Which instant; where none is named at all, the target stays possible. */
  readonly at?: RegExp;
}

const TOP = /\btop\b/;
const IMPACT = /\bimpact\b|\bcontact\b/;
const PEAK = /\bpeak\b|\bmax(?:imum)?\b|\blargest\b/;
const PARALLEL = /\bparallel\b/;
const DELIVERY = /\bdelivery\b|\bhip height\b/;
const INSTANT =
  /\btop\b|\bimpact\b|\bcontact\b|\bpeak\b|\bmax(?:imum)?\b|\blargest\b|\bparallel\b|\bdelivery\b|\bhip height\b|\baddress\b|\bfinish\b|\btakeaway\b/;
const ELBOW = /\belbow\b(?!.*\b(?:speed|onset|recoil|change)\b)/;
const LAG = /\blag\b/;
const PELVIS = /\b(?:pelvis|hips?)\b.*\b(?:turn|rotation|open)\b/;
const THORAX = /\b(?:thorax|chest|torso|shoulders?|trunk)\b.*\b(?:turn|rotation|open)\b/;

/** The trade's and the field's standard terms (no source but common practice). */
const WORDS: readonly Words[] = [
  {
    to: 'golfers.golfer_id',
    about: /^(?:golfer|pupil|player|student|athlete|client|participant|subject|name)(?: (?:id|code|name))?$/,
  },
  { to: 'golfers.plays', about: /^(?:plays|hand|handed|handedness|right or left|side)$/ },
  { to: 'golfers.handicap_index', about: /^(?:handicap|hcp|hdcp|hi)(?: index)?$/ },
  { to: 'golfers.height_cm', about: /^(?:body )?height$/ },
  { to: 'golfers.age_band', about: /^age (?:band|group)$/ },
  { to: 'golfers.consent_scope', about: /^consent(?: scope)?$/ },
  { to: 'golfers.consent_date', about: /^consent (?:date|given(?: on)?)$/ },
  { to: 'sessions.session_id', about: /^(?:session|visit|lesson)(?: (?:id|code|no|nr|number))?$/ },
  { to: 'sessions.instructor_id', about: /^(?:instructor|coach|teacher|trainer)(?: (?:id|code|name))?$/ },
  {
    to: 'sessions.date',
    about: /^(?:(?:session|lesson|visit|shot) )?(?:date|day|datetime|date time|date and time|timestamp)$/,
  },
  { to: TIME_OF_DAY, about: /^(?:(?:shot|swing) )?(?:time|clock|time of day)$/ },
  { to: 'sessions.phase', about: /^(?:phase|stage|period)$/ },
  { to: 'sessions.device', about: /^(?:device|system|monitor|measured by)$/ },
  { to: 'sessions.rate_hz', about: /^(?:frame |sampling |capture )?rate$/ },
  { to: 'sessions.surface', about: /^(?:surface|lie|mat)$/ },
  { to: 'swings.swing_id', about: /^(?:swing|shot|trial|capture|file) ?(?:id|code|name)$/ },
  {
    to: 'swings.order_in_session',
    about: /^(?:order|no|nr|#|number|swing|shot|(?:swing|shot) ?(?:no|nr|#|number|order)|order in session)$/,
  },
  { to: 'swings.task', about: /^(?:task|swing type|shot type|type of swing)$/ },
  { to: 'swings.club', about: /^club(?: (?:type|name|used))?$/ },
  { to: 'swings.speed_intent_pct', about: /\binten(?:t|ded)\b/ },
  { to: 'swings.trail_elbow_flexion_top_deg', about: ELBOW, at: TOP },
  { to: 'swings.trail_elbow_flexion_peak_deg', about: ELBOW, at: PEAK },
  { to: 'swings.trail_elbow_flexion_arm_parallel_deg', about: ELBOW, at: PARALLEL },
  { to: 'swings.trail_elbow_flexion_impact_deg', about: ELBOW, at: IMPACT },
  { to: 'swings.elbow_recoil_deg', about: /\belbow recoil\b/ },
  { to: 'swings.lag_top_deg', about: LAG, at: TOP },
  { to: 'swings.lag_peak_deg', about: LAG, at: PEAK },
  { to: 'swings.lag_delivery_deg', about: LAG, at: DELIVERY },
  { to: 'swings.lag_impact_deg', about: LAG, at: IMPACT },
  { to: 'swings.shaft_lean_impact_deg', about: /\b(?:shaft|forward) lean\b/, at: IMPACT },
  { to: 'swings.pelvis_turn_impact_deg', about: PELVIS, at: IMPACT },
  { to: 'swings.thorax_turn_impact_deg', about: THORAX, at: IMPACT },
  { to: 'swings.downswing_ms', about: /\bdownswing\b(?: (?:time|duration|length))?$/ },
  { to: 'swings.hand_speed_peak_mps', about: /\bhands? ?speed\b/ },
  { to: 'swings.club_speed_mps', about: /\b(?:club ?head|club|head|swing) ?speed\b/ },
  { to: 'swings.ball_speed_mps', about: /\bball ?speed\b/ },
  { to: 'swings.attack_angle_deg', about: /\battack ?angle\b|\bangle of attack\b|\baoa\b/ },
  { to: 'swings.low_point_cm', about: /\blow ?point\b/ },
  { to: 'swings.dynamic_loft_deg', about: /\bdynamic ?loft\b|\bloft at impact\b/ },
  { to: 'swings.smash_factor', about: /\bsmash\b/ },
  {
    to: 'swings.impact_offset_mm',
    about: /\b(?:impact|strike) (?:offset|distance)\b|\boff ?cent(?:re|er)\b/,
  },
  { to: 'swings.strike_rating', about: /\b(?:strike|contact) (?:rating|quality|score)\b/ },
  { to: 'swings.ground_first', about: /\bground (?:first|before ball)\b|^(?:fat|heavy)$/ },
  { to: 'assignments.trial_id', about: /^(?:trial|study)(?: id)?$/ },
  { to: 'assignments.arm', about: /^(?:arm|group|condition)$/ },
  { to: 'assignments.assigned_on', about: /^(?:assigned|assigned on|allocation date)$/ },
  { to: 'practice.drill', about: /^drill(?: name)?$/ },
  { to: 'practice.reps', about: /^(?:reps|repetitions)$/ },
];

const byExactName = new Map<string, string>();
for (const name of TARGET_NAMES) {
  const column = name.slice(name.indexOf('.') + 1);
  // golfer_id and the like stand in several tables; the first, where it is the key, is meant.
  if (!byExactName.has(folded(column))) byExactName.set(folded(column), name);
}
byExactName.set(folded('date'), 'sessions.date');
/** A label says what is meant, but neither unit nor convention, as the name of the column does. */
const byLabel = new Map(metricCatalogue.map(({ column, label }) => [folded(label), `swings.${column}`]));

/** Takes the unit out of a header: in brackets, behind a comma or an underscore, or as its last word. */
function splitUnit(header: string): { readonly words: string; readonly unit: string | null } {
  const bracket = /^(.*?)\s*[[({]([^\])}]*)[\])}]\s*(.*)$/.exec(header);
  if (bracket !== null) {
    const unit = unitIn(bracket[2]!);
    if (unit !== null) return { words: `${bracket[1]} ${bracket[3]}`, unit };
  }
  const last = /^(.*\S)[\s,_:]+(\S+)$/.exec(header.trim());
  const unit = last === null ? null : unitIn(last[2]!);
  return unit === null ? { words: header, unit: null } : { words: last![1]!, unit };
}

/**
 * Reads a header by itself; the values have not been looked at.
 *
 * @example readHeader('Club Speed (mph)').sure // ['swings.club_speed_mps']
 */
export function readHeader(header: string): HeaderReading {
  const exactName = byExactName.get(folded(header));
  const { words: named, unit } = splitUnit(header);
  const words = named
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}#]+/gu, ' ')
    .trim();
  const side = /\bright\b/.test(words) ? 'right' : /\bleft\b/.test(words) ? 'left' : null;
  const reading = { unit, included: /\bincluded\b|\binner\b/.test(words), side } as const;
  if (exactName !== undefined)
    return { ...reading, unit, sure: [exactName], open: [], exact: true, foreign: false };
  const labelled = byLabel.get(folded(named));
  if (labelled !== undefined) return { ...reading, sure: [labelled], open: [], exact: false, foreign: false };
  // Under a word that stands over several columns, the words come the other way round: "Speed" over "Club".
  const turned = words.replace(/^(\S+) (.+)$/, '$2 $1');
  const fits = (target: Words, text: string) =>
    target.about.test(text) && !(target.about === ELBOW && /\blead\b/.test(text));
  const straight = WORDS.filter((target) => fits(target, words));
  const about = straight.length > 0 ? straight : WORDS.filter((target) => fits(target, turned));
  const namesInstant = INSTANT.test(words);
  const sure = about.filter(({ at }) => at === undefined || at.test(words)).map(({ to }) => to);
  const open = namesInstant ? [] : about.filter(({ at }) => at !== undefined).map(({ to }) => to);
  return {
    ...reading,
    sure,
    open: sure.length > 0 ? [] : open,
    exact: false,
    foreign: sure.length + open.length === 0,
  };
}
