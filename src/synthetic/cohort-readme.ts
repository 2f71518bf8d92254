import type { Cohort } from './generate-cohort.ts';
import type { Recipe } from './recipe/recipe.ts';

/** The README.md of a generated folder: that it is invented, what is in it, and how to make it again. */
export function cohortReadme(recipe: Recipe, { tables, truth }: Cohort): string {
  const left = truth.golfers.filter(({ leftEarly }) => leftEarly).length;
  const leftHanded = tables.golfers.filter(({ plays }) => plays === 'left').length;
  const metric = Object.keys(recipe.learning.drill)[0];
  return `# ${recipe.title}

**Everything in this folder is invented.** No golfer, instructor or swing in it exists; the numbers were drawn by
a program and must never be cited as measurements.

${recipe.description}

- ${tables.golfers.length} golfers (${leftHanded} left-handed), ${tables.instructors.length} instructors, ${tables.sessions.length} visits, ${tables.swings.length} swings,
  ${tables.practice.length} logged bouts of practice. ${left} golfers left before the end; some visits and values are missing.
- The tables are CSV files described by datapackage.json. Missing is empty.
- Arms are \`drill\` and \`control\`. Each visit has ${recipe.session.fullSwings} full swings and ${recipe.session.drillSwings} of the drill task at reduced speed.
- truth.json holds what was planted, which no analysis may look at before it has answered. The mean effect of the
  drill over control on full swings at the phase post, in the population of golfers the recipe describes, stands in
  \`drillEffect\`${metric === undefined ? '' : `; for ${metric} it is ${truth.drillEffect[metric] ?? 'given there'}`}.

Made by the recipe \`${recipe.name}\` with the seed ${truth.seed}. The same recipe and seed give the same bytes:

    npm run --silent cli -- generate --recipe ${recipe.name} --seed ${truth.seed} --out FOLDER

Where each number of the recipe comes from (published, an assumption, or invented) is written in the recipe, in
synthetic/recipes/, and in base.json beside it.
`;
}
