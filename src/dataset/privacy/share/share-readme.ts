import type { Scope } from './consent.ts';
import { LEAST_GROUP } from './disclosed.ts';
import type { Shared } from './share-dataset.ts';
import { FIRST_DAY } from './visits.ts';

const AGE = ['the band as it was given', 'from 0, 18, 40 or 60 years', 'minor or adult', 'not said'];
const HANDICAP = [
  'the middle of a band 5 wide',
  'the middle of a band 10 wide',
  'the middle of a band 20 wide',
  'not said',
];
const HEIGHT = ['the middle of a band 10 cm wide', 'the middle of a band 20 cm wide', 'not said'];

/** What whoever gets an export must know. A number of people below five is not said here. */
export function shareReadme(
  { golfers, leftOut, coarseness, cellsEmptied, captures }: Shared,
  scope: Scope,
): string {
  const few = (count: number): string =>
    count === 0 ? 'nobody' : count < LEAST_GROUP ? `fewer than ${LEAST_GROUP}` : `${LEAST_GROUP} or more`;
  const emptied = Object.keys(cellsEmptied).sort();
  return `# An export for handing on

${golfers} golfers who agreed to "${scope}" or more. Whoever reads this must not try to find out who they are, must not
join it with other data about them, and must ask before passing it on.

## What was changed

- Ids of golfers, instructors, sessions and swings are codes. Rows are in the order of the codes.
- Dates are on a calendar of each golfer's own that begins on ${FIRST_DAY} with the first visit; times between visits are kept to: ${coarseness.visits}. Practice ${coarseness.practice ? 'has the date of the visit before it' : 'is dated on the first day, whenever it was'}.
- Age: ${AGE[coarseness.age]}. Handicap index: ${HANDICAP[coarseness.handicap]}. Height: ${HEIGHT[coarseness.height]}.
- Instructors: ${coarseness.instructor ? 'codes' : 'not said'}. Strata: ${coarseness.stratum ? 'as they were' : 'not said'}.
- Everything that is said of how a golfer plays, of age, handicap, height, arm, visits, instructor and stratum together is shared by ${LEAST_GROUP} or more.
- Words (device, surface, club, drill) that fewer than ${LEAST_GROUP} golfers have are left empty, and with them others where taking away would give them back.
- Free texts, columns of the roster's own, days of consent and ${captures > 0 ? 'all texts in captures' : 'captures'} were left out.
${emptied.length === 0 ? '' : `- Columns in which cells were emptied: ${emptied.join(', ')}.\n`}
## Who is not in it

| why | golfers |
|---|---|
| no consent | ${few(leftOut.consent)} |
| a consent in words that are not known | ${few(leftOut['unknown consent'])} |
| a consent that does not go so far | ${few(leftOut['narrower consent'])} |
| minors without the consent of a guardian | ${few(leftOut.minor)} |
| age not known, and no consent of a guardian | ${few(leftOut['age unknown'])} |
| would have stood out | ${few(leftOut['stands out'])} |

Who left a study early is more likely to stand out and so to be missing here. What is asked of these data should say so.

## What this does not do

It does not make the data anonymous for somebody who holds the roster or who remembers single numbers. The law of the place decides whether this may be handed on, to whom, and for how long it may be kept.
`;
}
