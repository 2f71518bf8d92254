import type { Finding } from '../finding.ts';
import type { NoiseTables } from '../noise-tables.ts';
import { plannedOf } from '../shared/planned.ts';
import { leftOpen } from '../shared/planned-parts.ts';
import { provenanceOf } from '../shared/provenance.ts';
import { metricOfFinding } from '../shared/study-metric.ts';
import { count } from '../shared/words.ts';
import { agreementOfDevices } from './agreement.ts';
import { analyseNoise, detectableGrid, type NoiseAnswer, noiseStanding, noiseVerdict } from './analyse.ts';
import { noiseSentence } from './answer-words.ts';
import { type Basis, chooseBasis } from './basis.ts';
import { noiseChecks } from './checks.ts';
import { sessionCorrelations } from './correlations.ts';
import { agreementEstimates, noiseEstimates } from './estimates.ts';
import { counted, countsOf, fullSwings, leftOut } from './full-swings.ts';
import { type LikelihoodSds, likelihoodSds } from './likelihood.ts';
import { nextForNoise, noiseCautions } from './next-steps.ts';
import type { NoiseRequest } from './noise-request.ts';
import { nested, noiseSensitivity } from './sensitivity.ts';
import { smallestOf } from './smallest-change.ts';
import { deviceTable, golferTable, partTable } from './tables.ts';

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
  const phases = new Set(basis.rows.map(({ phase }) => phase));
  const agreement = agreementOfDevices(
    basis.kind === 'all' ? full : full.filter(({ phase }) => phases.has(phase)),
    level,
  );
  const why = whyNothing(answer);
  const used = new Set<unknown>(basis.rows);
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
    metric: metricOfFinding(metric),
    design: {
      kind: basis.kind,
      words: `Noise from ${basis.words}: ${counted(basis.rows)}.${device} A golfer has ${count(now.sessions, 'session')} of ${count(now.swings, 'swing')} at each time now (the middle golfer and session).`,
      ...countsOf(basis.rows),
      arms: [],
    },
    leftOut: leftOut(excluded, (row) =>
      used.has(row)
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

function rootMeanSquare(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
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
