import type { Finding } from '../finding.ts';
import type { Agreement, NoiseTables } from '../noise-tables.ts';
import { plannedOf } from '../shared/planned.ts';
import { leftOpen } from '../shared/planned-parts.ts';
import { provenanceOf } from '../shared/provenance.ts';
import { metricOfFinding, type StudyMetric } from '../shared/study-metric.ts';
import { analyseNoise } from './analyse.ts';
import { agreementSentence, agreementStanding } from './answer-words.ts';
import { chooseBasis } from './basis.ts';
import { agreementEstimates } from './estimates.ts';
import { counted, countsOf, fullSwings, leftOut } from './full-swings.ts';
import { nextForAgreement, noiseCautions } from './next-steps.ts';
import type { NoiseRequest } from './noise-request.ts';
import { nested } from './sensitivity.ts';
import { smallestOf } from './smallest-change.ts';

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
    metric: metricOfFinding(metric),
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
