import { learningStart } from '../design/schedule.ts';
import type { CrossoverDesign, ParallelDesign, Recipe, SteppedStartDesign } from './recipe.ts';
import type { RecipeProblem } from './recipe-problem.ts';

/** The calendar must hold together, and the drill must have taken full effect by the phase `post`. */
export function designProblems(recipe: Recipe): RecipeProblem[] {
  const { design } = recipe;
  if (design.kind === 'stepped-start') return steppedStartProblems(recipe, design);
  if (design.kind === 'roster') return [...orderProblems(design), ...rosterProblems(recipe)];
  if (design.kind === 'series') return seriesProblems(recipe);
  const missing = (['baseline', 'post'] as const)
    .filter((phase) => !design.visits.some((visit) => visit.phase === phase))
    .map((phase) => ({
      where: '/design/visits',
      found: `no visit of the phase ${phase}`,
      expected: 'at least one baseline and one post visit',
      remedy: `Add a visit of the phase ${phase}.`,
    }));
  if (missing.length > 0) return missing;
  return [
    ...orderProblems(design),
    ...rampProblems(recipe, design),
    ...(design.kind === 'crossover' ? crossoverProblems(design) : assignmentProblems(design)),
  ];
}

type VisitDesign = Pick<ParallelDesign, 'visits' | 'jitterDays' | 'assignedDay'>;

const PHASES = ['baseline', 'training', 'post', 'retention'];

function orderProblems({ visits, jitterDays }: Pick<VisitDesign, 'visits' | 'jitterDays'>): RecipeProblem[] {
  return visits.flatMap((visit, at) => {
    const before = visits[at - 1];
    if (before === undefined) return [];
    const problems: RecipeProblem[] = [];
    if (visit.day <= before.day + jitterDays)
      problems.push({
        where: `/design/visits/${at}/day`,
        found: `day ${visit.day}`,
        expected: `later than day ${before.day + jitterDays}, to which the visit before may slip`,
        remedy: 'Move the visit, or make jitterDays smaller.',
      });
    if (PHASES.indexOf(visit.phase) < PHASES.indexOf(before.phase))
      problems.push({
        where: `/design/visits/${at}/phase`,
        found: `${visit.phase} after ${before.phase}`,
        expected: `the order ${PHASES.join(', ')}`,
        remedy: 'Put the visits in order of phase.',
      });
    return problems;
  });
}

function rampProblems(recipe: Recipe, design: VisitDesign): RecipeProblem[] {
  const start = learningStart(design);
  const post = design.visits.find((visit) => visit.phase === 'post')!.day;
  const { learning, practiceLog } = recipe;
  const late = (where: string, days: number, what: string) =>
    start + days > post
      ? [
          {
            where,
            found: `${days} days, from day ${start}`,
            expected: `at most ${post - start} days: ${what} before the first post visit, day ${post}`,
            remedy: 'Make it shorter, or the post visit later.',
          },
        ]
      : [];
  return [
    ...late('/learning/rampDays', learning.rampDays, 'the drill must have taken full effect'),
    ...late('/learning/practiceRampDays', learning.practiceRampDays, 'practice must have taken full effect'),
    ...late('/practiceLog/weeks', 7 * practiceLog.weeks, 'the practice must be over'),
  ];
}

/** Where nobody is assigned there is no drill to have an effect, and no training to leave. */
function rosterProblems({ learning, dropout }: Recipe): RecipeProblem[] {
  const problems: RecipeProblem[] = [];
  const drilled = Object.keys(learning.drill);
  if (drilled.length > 0)
    problems.push({
      where: '/learning/drill',
      found: `an effect on ${drilled.join(', ')}`,
      expected: 'none: in a roster nobody is assigned to a drill',
      remedy: 'Take the effect out (null removes a key of the base), or choose another kind of design.',
    });
  if (dropout.share > 0)
    problems.push({
      where: '/dropout/share',
      found: String(dropout.share),
      expected: '0: a roster has no end to leave before',
      remedy: 'Set it to 0; missing.visitShare makes visits missing at random.',
    });
  return problems;
}

/** In a series every session has the drill or has it not: no ramp, no practice log, nobody leaves. */
function seriesProblems({ learning, dropout, practiceLog }: Recipe): RecipeProblem[] {
  const mustBeNothing = (where: string, value: number, why: string): RecipeProblem[] =>
    value === 0
      ? []
      : [{ where, found: String(value), expected: `0: ${why}`, remedy: 'Set it to 0 for a series.' }];
  return [
    ...mustBeNothing('/learning/doseShare', learning.doseShare, 'a series has no practice log'),
    ...mustBeNothing('/practiceLog/weeks', practiceLog.weeks, 'a series has no practice log'),
    ...mustBeNothing('/dropout/share', dropout.share, 'in a series nobody leaves'),
  ];
}

function assignmentProblems({ visits, assignedDay, jitterDays }: VisitDesign): RecipeProblem[] {
  const lastBaseline = Math.max(...visits.filter(({ phase }) => phase === 'baseline').map(({ day }) => day));
  if (assignedDay > lastBaseline + jitterDays) return [];
  return [
    {
      where: '/design/assignedDay',
      found: `day ${assignedDay}`,
      expected: `later than day ${lastBaseline + jitterDays}, to which the last baseline visit may slip`,
      remedy: 'Assign after the baseline visits.',
    },
  ];
}

function crossoverProblems({
  visits,
  assignedDay,
  jitterDays,
  periodDays,
}: CrossoverDesign): RecipeProblem[] {
  const [first, last] = [visits[0]!.day, visits.at(-1)!.day + jitterDays];
  const problems: RecipeProblem[] = [];
  if (assignedDay > first)
    problems.push({
      where: '/design/assignedDay',
      found: `day ${assignedDay}`,
      expected: `no later than the first visit of the period, day ${first}`,
      remedy: 'In a crossover each period begins with its assignment: move it to the front.',
    });
  if (periodDays <= last - assignedDay)
    problems.push({
      where: '/design/periodDays',
      found: `${periodDays} days`,
      expected: `more than ${last - assignedDay}, so that the second period begins after the last visit of the first`,
      remedy: 'Make the periods longer.',
    });
  return problems;
}

function steppedStartProblems(recipe: Recipe, design: SteppedStartDesign): RecipeProblem[] {
  const problems: RecipeProblem[] = design.startsAfterWave.flatMap((wave, at) =>
    wave < design.waves
      ? []
      : [
          {
            where: `/design/startsAfterWave/${at}`,
            found: `wave ${wave}`,
            expected: `at most ${design.waves - 1}, so that a wave is left in which the drill shows`,
            remedy: 'Start earlier, or add waves.',
          },
        ],
  );
  const room = design.daysBetweenWaves - 1;
  if (recipe.learning.rampDays > room)
    problems.push({
      where: '/learning/rampDays',
      found: `${recipe.learning.rampDays} days`,
      expected: `at most ${room}: the drill must have taken full effect by the wave after its start`,
      remedy: 'Make it shorter, or the waves further apart.',
    });
  if (7 * recipe.practiceLog.weeks > room)
    problems.push({
      where: '/practiceLog/weeks',
      found: `${recipe.practiceLog.weeks} weeks`,
      expected: `at most ${Math.floor(room / 7)}: the practice must be over by the wave after the start`,
      remedy: 'Make it shorter, or the waves further apart.',
    });
  return problems;
}
