import type { Cohort } from './generate-cohort.ts';
import type { Recipe } from './recipe/recipe.ts';
import { studyOfRecipe } from './recipe-study.ts';

/** The README.md of a generated folder: that it is invented, what is in it, and how to make it again. */
export function cohortReadme(recipe: Recipe, { tables, truth }: Cohort): string {
  const left = truth.golfers.filter(({ leftEarly }) => leftEarly).length;
  const leftHanded = tables.golfers.filter(({ plays }) => plays === 'left').length;
  return `# ${asText(recipe.title).replace(/\s+/g, ' ')}

**Everything in this folder is invented.** No golfer, instructor or swing in it exists; the numbers were drawn by
a program and must never be cited as measurements.

${asText(recipe.description)}

- ${tables.golfers.length} golfers (${leftHanded} left-handed), ${tables.instructors.length} instructors, ${tables.sessions.length} visits, ${tables.swings.length} swings,
  ${tables.practice.length} logged bouts of practice. ${left} golfers left before the end; some visits and values are missing.
- The tables are CSV files described by datapackage.json. Missing is empty.
- ${armsWords(recipe)} Each visit has ${swingsWords(recipe)}.
- truth.json holds what was planted, which no analysis may look at before it has answered. ${truthWords(recipe, truth)}

Made by the recipe \`${recipe.name}\` with the seed ${truth.seed}. The same recipe and seed give the same bytes:

    npm run --silent cli -- generate --recipe ${recipe.name} --seed ${truth.seed} --out FOLDER

Where each number of the recipe comes from (published, an assumption, or invented) is written in the recipe, in
synthetic/recipes/, and in base.json beside it.
`;
}

/** Words of a recipe in Markdown: tags are shown and not obeyed, and what cannot be seen is written as a code. */
function asText(words: string): string {
  return words
    .replaceAll('<', '\\<')
    .replace(
      /(?!\n)[\p{Cc}\p{Cf}\u2028\u2029]/gu,
      (found) => `⟨U+${found.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}⟩`,
    );
}

function armsWords({ design }: Recipe): string {
  if (design.kind === 'roster') return 'Nobody was assigned to anything.';
  if (design.kind === 'series')
    return 'Sessions of the phase `baseline` are without the drill (arm `control`), those of `training` with it (arm `drill`).';
  return 'Arms are `drill` and `control`.';
}

function swingsWords({ session }: Recipe): string {
  const full = `${session.fullSwings} full swings`;
  return session.drillSwings === 0
    ? full
    : `${full} and ${session.drillSwings} of the drill task at reduced speed`;
}

function truthWords(recipe: Recipe, truth: Cohort['truth']): string {
  const study = studyOfRecipe(recipe);
  if (study !== 'drill-trial') {
    const keys = (['mechanism', 'movement', 'teaching', 'devices', 'series', 'curves'] as const).filter(
      (key) => truth[key] !== undefined,
    );
    return `It stands
  in ${keys.map((key) => `\`${key}\``).join(' and ')}; what each key means is written in synthetic/README.md.`;
  }
  const metric = Object.keys(recipe.learning.drill)[0];
  return `The mean effect of the
  drill over control on full swings at the phase post, in the population of golfers the recipe describes, stands in
  \`drillEffect\`${metric === undefined ? '' : `; for ${metric} it is ${truth.drillEffect[metric] ?? 'given there'}`}.`;
}
