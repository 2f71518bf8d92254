import type { SmallestChange } from '../../finding.ts';
import type { CurveAnswer } from '../analysis/answers.ts';

/** What to do next, the most useful first. */
export function nextSteps(
  { verdict, compared }: CurveAnswer,
  smallest: SmallestChange | null,
  golfers: number,
  planned: boolean,
  uncontrolled: boolean,
): string[] {
  const steps: string[] = [];
  if (compared.band === null)
    steps.push(
      `Measure more golfers: with ${golfers} no band can be had. More swings of the same golfers do not help.`,
    );
  else if (verdict === 'cannot-tell' && compared.windows.length > 0)
    steps.push(
      smallest === null
        ? 'Say in a plan how large a difference would matter, and ask again.'
        : 'Measure more golfers, to narrow the band enough to tell whether the difference matters.',
    );
  else if (verdict === 'cannot-tell')
    steps.push(
      'Measure more golfers, or ask about one number at one instant (ask drill-trial), which needs fewer.',
    );
  else if (verdict === 'meaningful')
    steps.push(
      'Choose a number read in the window that was found, and plan a trial that is decided by it: these data found the window and cannot also confirm it.',
    );
  else if (verdict === 'opposite')
    steps.push(
      'Stop and look: the curves differ by as much as matters in the wrong direction. Watch those swings before going on.',
    );
  else steps.push('Let it rest: a difference that matters is ruled out all along the downswing.');
  if (uncontrolled)
    steps.push(
      'Measure golfers without the drill over the same time, to tell the drill from everything else.',
    );
  if (!planned) steps.push('Write the next question down in a plan before the data come in.');
  return steps;
}
