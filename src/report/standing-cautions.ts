/** Cautions that every page for coaches carries; one that the Finding already gives is not said twice. */

interface Standing {
  /** What a caution of the Finding says when it already covers this one. */
  readonly covered: RegExp;
  readonly words: string;
}

const standing: readonly Standing[] = [
  {
    covered: /\bcause\b|causal/i,
    words:
      'What goes together in a roster is not proof of cause. Only a comparison decided by a draw can show that the drill did it.',
  },
  {
    covered: /\bpain\b/i,
    words:
      'Stop at pain. Wrist, elbow and back complaints, and anything unusual in a child’s growth, belong to a licensed clinician. Hitting a hard board or mat jars the wrist: start with a towel and short swings.',
  },
  {
    covered: /\bconsent\b/i,
    words:
      'Measuring people needs their consent, and a guardian’s for a minor, and follows the local rules on data protection and research ethics.',
  },
];

/** The Finding's own cautions, then those of every page that it does not give itself. */
export function withStandingCautions(cautions: readonly string[]): string[] {
  const missing = standing.filter(({ covered }) => !cautions.some((caution) => covered.test(caution)));
  return [...cautions, ...missing.map(({ words }) => words)];
}
