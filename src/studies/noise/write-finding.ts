import type { Dataset } from '../../dataset/index.ts';
import { moments } from '../../stats/index.ts';
import type { Finding, SmallestChange } from '../finding.ts';
import type { Agreement, DeviceNoise, GolferNoise, NoisePart, NoiseTables } from '../noise-tables.ts';
import type { Excluded } from '../shared/exclusions.ts';
import { groupLeftOut } from '../shared/left-out.ts';
import { leftOpen, plannedOf } from '../shared/planned.ts';
import { provenanceOf } from '../shared/provenance.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { amount, count } from '../shared/words.ts';
import type { StudyOptions } from '../study.ts';
import { agreementOfDevices } from './agreement.ts';
import { analyseNoise, detectableGrid, type NoiseAnswer, noiseStanding, noiseVerdict } from './analyse.ts';
import { agreementSentence, agreementStanding, noiseSentence } from './answer-words.ts';
import { type Basis, chooseBasis } from './basis.ts';
import { noiseChecks } from './checks.ts';
import { sessionCorrelations } from './correlations.ts';
import { agreementEstimates, noiseEstimates } from './estimates.ts';
import { type LikelihoodSds, likelihoodSds } from './likelihood.ts';
import { nextForAgreement, nextForNoise, noiseCautions } from './next-steps.ts';
import type { NoiseData, NoiseRow } from './noise-data.ts';
import { nested, noiseSensitivity } from './sensitivity.ts';

export interface NoiseRequest {
  readonly dataset: Dataset;
  readonly options: StudyOptions;
  readonly excluded: Excluded<NoiseData>;
  readonly metric: StudyMetric;
  readonly level: number;
}

type Valued = NoiseRow & { readonly value: number };

/** The finding on the noise of one number. */
export function writeNoise(request: NoiseRequest): Finding<NoiseTables> {
  const { dataset, options, excluded, metric, level } = request;
  const { data } = excluded;
  const basis = chooseBasis(data);
  const now = { sessions: basis.sessionsAtATime, swings: basis.swingsInASession };
  const answer = analyseNoise(nested(basis.rows), now, level, basis.shared);
  const smallest = smallestOf(request, answer);
  const standing = noiseStanding(answer, smallest, basis.kind);
  const correlations = sessionCorrelations(basis, level);
  const likelihood = likelihoodSds(basis, level);
  const captureSd = rootMeanSquare(basis.rows.flatMap(({ ownSd }) => (ownSd === null ? [] : [ownSd])));
  const golfers = golferTable(basis.rows);
  const full = fullSwings(data);
  const devices = deviceTable(full, basis.kind);
  const agreement = agreementOfDevices(
    basis.kind === 'all' ? full : full.filter(({ phase }) => basis.rows.some((row) => row.phase === phase)),
    level,
  );
  const why = whyNothing(answer);
  const used = new Set(basis.rows.map(({ swing }) => swing));
  const device =
    devices.length > 1
      ? ` Noise is that of the device '${basis.device}'; the others have theirs in a table.`
      : '';
  return {
    study: 'noise',
    question: `How noisy is ${metric.label}: can a change that matters be seen in one golfer?`,
    answer: noiseSentence({ metric, answer, smallest, standing, basis: basis.kind, why }),
    verdict: noiseVerdict(standing),
    estimates: [
      ...noiseEstimates(answer, correlations?.rows ?? [], captureSd, metric),
      ...(agreement === null ? [] : agreementEstimates(agreement, metric)),
    ],
    smallestChange: smallest,
    metric: metricOf(metric),
    design: {
      kind: basis.kind,
      words: `Noise from ${basis.words}: ${counted(basis.rows)}.${device} A golfer has ${count(now.sessions, 'session')} of ${count(now.swings, 'swing')} at each time now (the middle golfer and session).`,
      ...countsOf(basis.rows),
      arms: [],
    },
    leftOut: leftOut(excluded, (row) =>
      used.has(row.swing)
        ? null
        : row.device !== basis.device
          ? `measured by another device than '${basis.device}'`
          : basis.outside,
    ),
    model: modelWords(basis, likelihood),
    checks: noiseChecks({ basis, answer, golfers, correlations, likelihood, captureSd, metric }),
    sensitivity: noiseSensitivity({ basis, answer, smallest, metric }),
    cautions: noiseCautions(basis, agreement, metric, new Set(basis.rows.map(({ golfer }) => golfer)).size),
    planned: plannedOf({
      study: 'noise',
      dataset,
      options,
      metric,
      smallest,
      level,
      parts: [leftOpen('which sessions tell the noise', basis.words)],
    }),
    provenance: provenanceOf('noise', dataset, options, [metric]),
    tables: {
      now,
      basis: basis.kind,
      parts: partTable(answer, likelihood),
      detectable: detectableGrid(answer, smallest?.value ?? null),
      correlations: correlations?.rows ?? [],
      golfers,
      devices,
      agreement,
    },
    warnings: warningsOf(basis),
    next: nextForNoise(answer, smallest, standing, basis, metric),
  };
}

/** The finding on two metric columns of the same swings. */
export function writeAgreement(
  request: NoiseRequest & {
    readonly agreement: Agreement;
    readonly other: StudyMetric;
    readonly values: ReadonlyMap<string, number>;
  },
): Finding<NoiseTables> {
  const { dataset, options, excluded, metric, level, agreement, other, values } = request;
  const full = fullSwings(excluded.data);
  const rows = full.filter(({ swing }) => values.has(swing));
  const basis = chooseBasis(excluded.data);
  const now = { sessions: basis.sessionsAtATime, swings: basis.swingsInASession };
  const smallest = smallestOf(request, analyseNoise(nested(basis.rows), now, level, basis.shared));
  const standing = agreementStanding(agreement, smallest);
  const used = new Set(rows.map(({ swing }) => swing));
  return {
    study: 'noise',
    question: `Do ${metric.label} and ${other.label} agree on the same swings?`,
    answer: agreementSentence(agreement, metric, smallest),
    verdict:
      standing === 'agree' ? 'too-small-to-matter' : standing === 'differ' ? 'meaningful' : 'cannot-tell',
    estimates: agreementEstimates(agreement, metric),
    smallestChange: smallest,
    metric: metricOf(metric),
    design: {
      kind: 'agreement',
      words: `${agreement.pairing}, ${counted(rows)}.`,
      ...countsOf(rows),
      arms: [],
    },
    leftOut: leftOut(excluded, (row) => (used.has(row.swing) ? null : `no value for ${other.label}`)),
    model: {
      words:
        'Each difference is split into what is the golfer’s own, the session’s and the swing’s; the limits of agreement are the mean difference plus and minus 1.96 SDs of a single difference (Bland and Altman 1999, 2007), their intervals recovered from those of the mean and of the variance (Zou 2013; Burdick and Graybill 1992).',
      objects: [],
    },
    checks: [],
    sensitivity: [],
    cautions: noiseCautions(basis, agreement, metric, agreement.golfers),
    planned: plannedOf({
      study: 'noise',
      dataset,
      options,
      metric,
      smallest,
      level,
      parts: [leftOpen('what it is compared with', `${other.column} was taken`)],
    }),
    provenance: provenanceOf('noise', dataset, options, [metric, other]),
    tables: {
      now,
      basis: basis.kind,
      parts: [],
      detectable: [],
      correlations: [],
      golfers: [],
      devices: [],
      agreement,
    },
    warnings: [],
    next: nextForAgreement(agreement, standing, metric),
  };
}

/** What matters: asked for, planned, or 0.2 of the SD between golfers; null where golfers cannot be told apart. */
function smallestOf({ options, metric }: NoiseRequest, answer: NoiseAnswer): SmallestChange | null {
  const { unit, goodDirection } = metric;
  if (options.change !== undefined)
    return {
      value: options.change,
      unit,
      from: 'asked',
      why: 'Given with the question.',
      goodDirection,
    };
  const plan = options.plan?.metric.column === metric.column ? options.plan : undefined;
  const planned = plan?.smallestChangeThatMatters;
  if (planned !== undefined)
    return {
      value: planned.value,
      unit,
      from: 'plan',
      why: `Stated in the plan: ${planned.why}`,
      goodDirection,
    };
  const sd = answer.golferSd?.value ?? 0;
  if (!(sd > 0)) return null;
  return {
    value: 0.2 * sd,
    unit,
    from: 'default',
    why: `No plan states one, so the default was taken: 0.2 x the SD between golfers (${amount(sd, unit, metric.decimals + 1)}), the noise taken out (Hopkins 2004, Sportscience 8:1-7). Unlike in a trial it is not raised to what the measurement can resolve, since that is the question here. A coach who knows what matters should state it in a plan, or with --change.`,
    goodDirection,
  };
}

function metricOf({ column, label, unit, meaning }: StudyMetric): Finding['metric'] {
  return { column, label, unit, meaning };
}

function fullSwings(data: NoiseData): Valued[] {
  return data.swings.filter((row): row is Valued => row.task === 'full' && row.value !== null);
}

function countsOf(rows: readonly NoiseRow[]) {
  return {
    golfers: new Set(rows.map(({ golfer }) => golfer)).size,
    sessions: new Set(rows.map(({ session }) => session)).size,
    swings: rows.length,
  };
}

function counted(rows: readonly NoiseRow[]): string {
  const { golfers, sessions, swings } = countsOf(rows);
  return `${count(swings, 'full swing')} in ${count(sessions, 'session')} of ${count(golfers, 'golfer')}`;
}

/** Every swing that is not used, by reason; with those used it accounts for all. */
function leftOut(excluded: Excluded<NoiseData>, unused: (row: Valued) => string | null): Finding['leftOut'] {
  const swings = excluded.data.swings.flatMap((row) => {
    if (row.task !== 'full') return [{ id: row.swing, why: 'not a full swing' }];
    if (row.value === null) return [{ id: row.swing, why: 'no value for this number' }];
    const why = unused({ ...row, value: row.value });
    return why === null ? [] : [{ id: row.swing, why }];
  });
  return [
    ...groupLeftOut('golfers', excluded.golfers),
    ...groupLeftOut('sessions', excluded.sessions),
    ...groupLeftOut('swings', [...excluded.swings, ...swings]),
  ];
}

function rootMeanSquare(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

function golferTable(rows: readonly Valued[]): GolferNoise[] {
  const golfers = new Map<string, Valued[]>();
  for (const row of rows) {
    const own = golfers.get(row.golfer);
    if (own === undefined) golfers.set(row.golfer, [row]);
    else own.push(row);
  }
  return [...golfers].map(([golfer, own]) => {
    const sessions = new Set(own.map(({ session }) => session));
    const answer = analyseNoise(nested(own), { sessions: 1, swings: 1 }, 0.95);
    return {
      golfer,
      sessions: sessions.size,
      swings: own.length,
      mean: moments(own.map(({ value }) => value))!.mean,
      swingSd: answer.noise.value === null ? null : Math.sqrt(answer.noise.value.value),
    };
  });
}

/** Each device's own noise, from the same phases as far as it has them. */
function deviceTable(full: readonly Valued[], kind: Basis['kind']): DeviceNoise[] {
  const names = [...new Set(full.map(({ device }) => device))].sort();
  return names.map((device) => {
    const own = full.filter((row) => row.device === device);
    const { rows, shared } = chooseBasis({
      swings: own,
      arms: new Map(),
      controls: new Set(),
    });
    const answer = analyseNoise(nested(rows), { sessions: 1, swings: 1 }, 0.95, shared);
    return {
      device,
      ...countsOf(rows),
      swingSd: answer.swingSd?.value ?? null,
      sessionSd: kind === 'one-session' ? null : (answer.sessionSd?.value ?? null),
    };
  });
}

function partTable(answer: NoiseAnswer, likelihood: LikelihoodSds | null): NoisePart[] {
  const parts = [
    ['golfer', answer.golferSd, likelihood?.golfer, likelihood?.golferInterval],
    ['session', answer.sessionSd, likelihood?.session, likelihood?.sessionInterval],
    ['swing', answer.swingSd, likelihood?.swing, likelihood?.swingInterval],
  ] as const;
  const whole = parts.reduce((sum, [, size]) => sum + (size?.value ?? 0) ** 2, 0);
  return parts.map(([part, size, likelihoodSd, likelihoodInterval]) => ({
    part,
    sd: size?.value ?? null,
    interval: size?.interval ?? null,
    share: size === null || !(whole > 0) ? null : size.value ** 2 / whole,
    likelihoodSd: likelihoodSd ?? null,
    likelihoodInterval: likelihoodInterval ?? null,
  }));
}

function whyNothing({ noise }: NoiseAnswer): string {
  if (noise.value === null && noise.occasion === null)
    return 'every golfer has one swing, so that nothing shows how swings of one golfer differ';
  return 'the values of a golfer do not differ at all, which measured swings do: they look rounded, copied or filled in';
}

function modelWords(basis: Basis, likelihood: LikelihoodSds | null): Finding['model'] {
  const shared =
    basis.shared === undefined ? '' : ' What sessions of a phase share over golfers is taken out first.';
  return {
    words: `Each swing is the golfer's level, plus what is particular to the session, plus what is particular to the swing.${shared} The three variances come from mean squares of unweighted means, so that a session counts once however many swings it has; intervals of variances and their sums are modified large sample intervals (Burdick and Graybill 1992; Ting et al. 1990). The standard error of measurement of a mean of k swings in each of m sessions is the root of session variance / m + swing variance / (m k); the smallest detectable change is 1.96 x root 2 times it (Weir 2005). Intraclass correlations: McGraw and Wong (1996), on session means.${likelihood === null ? '' : ' Beside it stands the same by a mixed model (restricted maximum likelihood, with profile intervals).'}`,
    objects: likelihood === null ? [] : [likelihood.model],
  };
}

function warningsOf(basis: Basis): string[] {
  if (basis.kind === 'all')
    return [
      'Golfers were taught between these sessions. The noise holds what each of them learned, so it is the most it can be.',
    ];
  if (basis.kind === 'one-session')
    return [
      'No golfer was measured often enough without teaching: how one day differs from another is not known, and the noise given is the least it can be.',
    ];
  return [];
}
