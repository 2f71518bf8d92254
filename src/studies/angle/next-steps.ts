import type { angleStanding } from './answer-words.ts';

export function nextFor(standing: ReturnType<typeof angleStanding>, fits: string | null): string[] {
  switch (standing) {
    case 'every-digit':
    case 'within':
      return [
        'Cite the definition with the number: points, frames, sequence and sign, and the version named below.',
      ];
    case 'beyond':
      return fits === null
        ? [
            'Check in this order: the side, which point is which, the unit, the sequence, whether a joint centre stands where we have a marker.',
          ]
        : [`Quote the published number under the definition it has: ${fits}.`];
    case 'border':
      return ['Measure the noise of your own markers, or give a tolerance that suits the use of the number.'];
    default:
      return ['Give the published angles with --published, by row of the points.'];
  }
}
