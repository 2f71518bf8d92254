/**
 * INVENTED. A Finding made by hand for the tests of the report: the numbers come from no golfer and no model,
 * only from the arithmetic below. It has what a real one has: forty golfers in two arms, some who left, values
 * below zero, an estimate that could not be made, swings left out.
 */
import type {
  DosePoint,
  DrillTrialTables,
  FlowRow,
  GolferChange,
  GroupPhase,
} from '../../src/studies/drill-trial-tables.ts';
import type { Finding, FindingEstimate, Verdict } from '../../src/studies/finding.ts';

const sha = (k: number): string =>
  Array.from({ length: 64 }, (_, j) => ((k * 7 + j * 5) % 16).toString(16)).join('');

/** A repeatable wobble in -1 to 1. */
const wobble = (k: number): number => Math.sin(k * 12.9898) * Math.cos(k * 4.1414 + 1);

const drillArm = 'towel drill';
const controlArm = 'usual practice';

function golfer(k: number): GolferChange {
  const drill = k % 2 === 0;
  const id = `G${String(k + 1).padStart(2, '0')}`;
  const before = 71 + 9 * wobble(k + 1);
  const left = k === 7 || k === 22 || k === 31;
  const change = left ? null : (drill ? -6.4 : -0.7) + 3.6 * wobble(3 * k + 2);
  const group = drill ? -6.4 : -0.7;
  const shrunken = change === null ? null : group + 0.62 * (change - group);
  return {
    golfer: id,
    arm: drill ? drillArm : controlArm,
    role: drill ? 'drill' : 'control',
    before,
    after: change === null ? null : before + change,
    retention: left || k % 11 === 3 ? null : before + (change ?? 0) * 0.7 + 1.2 * wobble(k + 50),
    swingsBefore: 10 - (k % 3),
    swingsAfter: left ? 0 : 10 - (k % 4),
    change,
    shrunken,
    interval: shrunken === null ? null : [shrunken - 2.6 - 0.1 * (k % 4), shrunken + 2.6 + 0.1 * (k % 4)],
    chanceMeaningful: shrunken === null ? null : 1 / (1 + Math.exp((shrunken + 3) * 1.25)),
    reps: drill && !left ? 180 + 45 * k + Math.round(80 * wobble(k + 9)) : null,
  };
}

export const golfers: readonly GolferChange[] = Array.from({ length: 40 }, (_, k) => golfer(k));

const group = (
  arm: string,
  phase: GroupPhase['phase'],
  task: 'full' | 'drill',
  mean: number,
  n: number,
  half: number,
): GroupPhase => ({
  arm,
  role: arm === drillArm ? 'drill' : 'control',
  phase,
  task,
  golfers: n,
  swings: n * 9,
  mean,
  interval: [mean - half, mean + half],
  level: 0.95,
});

const groups: readonly GroupPhase[] = [
  group(drillArm, 'baseline', 'full', 71.3, 20, 2.9),
  group(drillArm, 'training', 'full', 67.2, 19, 2.8),
  group(drillArm, 'training', 'drill', 61.9, 19, 3.4),
  group(drillArm, 'post', 'full', 64.8, 19, 2.7),
  group(drillArm, 'retention', 'full', 66.4, 17, 3.1),
  group(controlArm, 'baseline', 'full', 70.6, 20, 3.1),
  group(controlArm, 'training', 'full', 70.2, 19, 3.0),
  group(controlArm, 'post', 'full', 69.8, 18, 3.2),
  { ...group(controlArm, 'retention', 'full', 70.1, 1, 0), interval: null },
];

const flow: readonly FlowRow[] = [
  { arm: drillArm, role: 'drill', assigned: 20, baseline: 20, post: 19, retention: 17 },
  { arm: controlArm, role: 'control', assigned: 20, baseline: 20, post: 18, retention: 16 },
];

const dose: readonly DosePoint[] = golfers.flatMap(({ golfer: id, reps, change }) =>
  reps === null || change === null ? [] : [{ golfer: id, reps, change }],
);

export function estimate(
  name: string,
  value: number | null,
  low: number | null,
  high: number | null,
  meaning: string,
  unit = 'deg',
  df: number | null = 33.4,
): FindingEstimate {
  return { name, value, interval: [low, high], level: 0.95, unit, degreesOfFreedom: df, meaning };
}

/** The fixed words by which a page finds the estimates below, in their order. */
const keys = [
  'effect',
  'retention',
  'drill-speed',
  'carry-over-share',
  'dose',
  'individual-responses',
  'regression-drill',
];

const main = estimate(
  'drill effect after training, full swings',
  -5.62,
  -7.9,
  -3.34,
  'How much more the drill group’s trail elbow straightened from before to after than the control group’s.',
);

export const finding: Finding<DrillTrialTables> = {
  study: 'drill-trial',
  question: 'Did the towel drill change trail elbow flexion at delivery?',
  answer:
    'After eight weeks the drill group’s trail elbow was 5.6° straighter at delivery than the control group’s (95 % interval 3.3° to 7.9°), more than the 3° that matters.',
  verdict: 'meaningful',
  estimates: [
    main,
    estimate(
      'drill effect at retention, full swings',
      -3.9,
      -6.6,
      -1.2,
      'The same difference about six weeks after coaching ended.',
    ),
    estimate(
      'drill effect at drill speed',
      -8.8,
      -11.9,
      -5.7,
      'The difference while swinging slowly in the drill itself.',
    ),
    estimate(
      'carry-over from drill speed to full swing',
      0.64,
      0.4,
      0.9,
      'The part of the change at drill speed that was also there in full swings.',
      'share',
      null,
    ),
    estimate(
      'change per 100 logged repetitions',
      -0.42,
      -1.1,
      0.26,
      'How the change goes with practice among those who did the drill; they chose how much.',
      'deg per 100 repetitions',
      17,
    ),
    estimate(
      'SD of true individual responses',
      1.4,
      -1.1,
      2.3,
      'How far golfers’ true changes spread beyond what noise explains; below zero means less spread than the control group shows.',
    ),
    estimate(
      'change expected from regression to the mean',
      null,
      null,
      null,
      'Could not be estimated: nobody was chosen for an extreme first value.',
      'deg',
      null,
    ),
  ].map((own, k) => ({ key: keys[k] as string, ...own })),
  smallestChange: {
    value: 3,
    unit: 'deg',
    from: 'plan',
    why: 'Set in the plan: about the difference between the coach’s better and middling players, and above the 1.9° that ten swings can resolve.',
    goodDirection: -1,
  },
  metric: {
    column: 'trail_elbow_flexion_delivery_deg',
    label: 'Trail elbow flexion at delivery',
    unit: 'deg',
    meaning:
      'The angle by which the trail elbow is bent when the shaft is level on the way down; 0° is straight.',
  },
  design: {
    kind: 'parallel-groups',
    words:
      'Two groups side by side: twenty golfers drew the drill and twenty went on with their usual practice.',
    golfers: 40,
    sessions: 152,
    swings: 1391,
    arms: [
      { arm: drillArm, role: 'drill', golfers: 20, sessions: 77, swings: 706 },
      { arm: controlArm, role: 'control', golfers: 20, sessions: 75, swings: 685 },
    ],
  },
  leftOut: [
    {
      table: 'swings',
      ids: Array.from({ length: 23 }, (_, k) => `S${1000 + 37 * k}`),
      count: 23,
      why: 'The value is missing: the club was lost from view before delivery.',
    },
    {
      table: 'golfers',
      ids: ['G08', 'G23', 'G32'],
      count: 3,
      why: 'No session after training, so there is no change to show; their first sessions still count in the model.',
    },
  ],
  model: {
    words:
      'Every full swing enters. Both groups share one mean before coaching, since the draw made them alike; each later phase has its own mean and its own difference. Golfers differ in level and in change, and sessions differ within a golfer. Fitted by REML with Kenward-Roger degrees of freedom.',
    objects: [
      {
        outcome: 'trail_elbow_flexion_delivery_deg',
        fixed: ['intercept', { column: 'phase', levels: ['baseline', 'post', 'retention'] }],
        random: [
          {
            group: 'golfer_id',
            effects: ['intercept', { column: 'phase', level: 'post' }],
            covariance: 'full',
          },
        ],
        criterion: 'reml',
      },
    ],
  },
  checks: [
    {
      name: 'Groups alike at the start',
      outcome: 'good',
      words: 'The groups’ first means differ by 0.7°, well inside what a draw brings.',
    },
    {
      name: 'Residuals',
      outcome: 'look',
      words:
        'Four swings lie further out than a normal distribution makes likely; leaving them out changes the answer by 0.1°.',
    },
    {
      name: 'Those who left',
      outcome: 'bad',
      words: 'Three golfers left, two of them from the control group after a poor first session.',
    },
    {
      name: 'Device drift',
      outcome: 'not-possible',
      words: 'One device only, so it cannot be told from change.',
    },
  ],
  sensitivity: [
    {
      name: 'without the four outlying swings',
      what: 'outliers',
      estimate: estimate('drill effect', -5.5, -7.7, -3.3, 'As the first.'),
      verdict: 'meaningful',
      words: 'The answer stands.',
    },
    {
      name: 'one golfer left out at a time: the weakest',
      what: 'deletion',
      estimate: estimate('drill effect', -5.2, -7.4, -3.0, 'As the first.'),
      verdict: 'meaningful',
      words: 'Without G13; the answer stands.',
    },
    {
      name: 'elbow angle by the projected definition',
      what: 'definition',
      estimate: estimate('drill effect', -4.9, -7.6, -2.2, 'As the first.'),
      verdict: 'cannot-tell',
      words: 'The interval just reaches into the zone.',
    },
    {
      name: 'those who left counted as unchanged',
      what: 'dropouts',
      estimate: null,
      verdict: 'cannot-tell',
      words: 'Could not be fitted.',
    },
  ],
  cautions: [
    'One trial at one place: expect the size, not the direction, to differ elsewhere.',
    'Straighter is not better in itself; watch the strike as well.',
  ],
  planned: {
    planned: true,
    words:
      'The plan was locked before the first session; metric, groups and smallest change are as planned. The definition check was added afterwards.',
  },
  provenance: {
    package: 'proving-range',
    version: '0.1.0',
    inputs: [
      { file: 'assignments.csv', sha256: sha(1) },
      { file: 'golfers.csv', sha256: sha(2) },
      { file: 'swings.csv', sha256: sha(3) },
    ],
    definitions: [{ metric: 'trail_elbow_flexion_delivery_deg', version: '1.0.0' }],
    seed: 20240501,
    date: '2024-06-30',
  },
  tables: { golfers, groups, flow, dose },
  warnings: [],
};

export const withVerdict = (verdict: Verdict, answer: string): Finding<DrillTrialTables> => ({
  ...finding,
  verdict,
  answer,
});

/** Text that must come out as text wherever a person could have typed it. */
export const hostile = [
  '<b>G01</b>',
  '</script><script>document.body.innerHTML="owned"</script>',
  '"><img src=x onerror=alert(1)>',
  '<!-- & <svg onload=alert(1)>',
  '=HYPERLINK("http://example.invalid","click")',
  '\u202eG99 reversed\u2066',
  '&lt;already&gt; %{x} $z$',
  `long ${'x'.repeat(10_000)} end`,
  'שלום G7',
  'nul\u0000 bell\u0007 half\ud800',
] as const;

/** The Finding with hostile text in golfer ids, arms and every sentence. */
export function hostileFinding(): Finding<DrillTrialTables> {
  const nasty = (k: number): string => hostile[k % hostile.length] as string;
  const rename = (id: string): string => {
    const k = golfers.findIndex(({ golfer: own }) => own === id);
    return k < hostile.length ? nasty(k) : id;
  };
  const arm = (name: string): string => (name === drillArm ? nasty(1) : nasty(5));
  return {
    ...finding,
    question: nasty(0),
    answer: nasty(1),
    estimates: finding.estimates.map((own, k) => ({
      ...own,
      name: nasty(k),
      meaning: nasty(k + 1),
      ...(k < 3 ? {} : { unit: nasty(k) }),
    })),
    metric: { ...finding.metric, column: nasty(2), label: nasty(2), meaning: nasty(3) },
    design: {
      ...finding.design,
      words: nasty(7),
      arms: finding.design.arms.map((own) => ({ ...own, arm: arm(own.arm) })),
    },
    leftOut: [{ table: nasty(3), ids: hostile, count: hostile.length, why: nasty(2) }],
    model: { words: nasty(7), objects: [{ outcome: nasty(1) }] },
    checks: finding.checks.map((own, k) => ({ ...own, name: nasty(k), words: nasty(k + 4) })),
    sensitivity: finding.sensitivity.map((own, k) => ({ ...own, name: nasty(k + 5), words: nasty(k + 1) })),
    cautions: hostile,
    planned: { planned: false, words: nasty(4) },
    provenance: {
      ...finding.provenance,
      inputs: [{ file: nasty(2), sha256: sha(4) }],
      definitions: [{ metric: nasty(1), version: nasty(0) }],
      date: nasty(0),
    },
    tables: {
      golfers: golfers.map((own) => ({ ...own, golfer: rename(own.golfer), arm: arm(own.arm) })),
      groups: groups.map((own) => ({ ...own, arm: arm(own.arm) })),
      flow: flow.map((own) => ({ ...own, arm: arm(own.arm) })),
      dose: dose.map((own) => ({ ...own, golfer: rename(own.golfer) })),
    },
    warnings: [nasty(1), nasty(7)],
  };
}

/** The text less our own marks round a run from right to left, which keep its neighbours where they are. */
export const withoutIsolates = (text: string): string =>
  text.replace(/\u2068([^\u2066-\u2069]*)\u2069/g, '$1');

/** One group, before and after, hardly any data: nothing can be estimated. */
export const bareFinding: Finding<DrillTrialTables> = {
  ...finding,
  answer: 'There are too few golfers to say whether the drill changed the number.',
  verdict: 'cannot-tell',
  estimates: [
    estimate(
      'change after training',
      null,
      null,
      null,
      'Could not be estimated from one golfer.',
      'deg',
      null,
    ),
  ],
  smallestChange: null,
  design: {
    ...finding.design,
    kind: 'before-after',
    golfers: 1,
    sessions: 2,
    swings: 2,
    arms: [{ arm: drillArm, role: 'drill', golfers: 1, sessions: 2, swings: 2 }],
  },
  leftOut: [],
  checks: [],
  sensitivity: [],
  planned: { planned: false, words: 'No plan was locked before the data.' },
  tables: {
    golfers: [
      {
        ...(golfers[0] as GolferChange),
        shrunken: null,
        interval: null,
        chanceMeaningful: null,
        retention: null,
      },
    ],
    groups: [{ ...(groups[0] as GroupPhase), golfers: 1, interval: null }],
    flow: [{ arm: drillArm, role: 'drill', assigned: 1, baseline: 1, post: 1, retention: 0 }],
    dose: [],
  },
  warnings: [
    'One group only: a change from before to after may be practice, time or chance, and would have come without the drill.',
  ],
};
