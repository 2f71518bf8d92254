import { MODELLED_METRICS } from '../model/modelled-metrics.ts';
import { type Level, ownVariances, pathModel, pathOrder, totalSd } from '../model/path-model.ts';
import type { Recipe } from './recipe.ts';
import type { RecipeProblem } from './recipe-problem.ts';

const SKILLS = [0, 0.25, 0.5, 0.75, 1];
const KEY: Record<Level, string> = { golfer: 'golferSd', session: 'sessionSd', swing: 'swingSd' };

/** Paths must not run in a circle, and must not bring more variance than a metric is to have in all. */
export function metricProblems(recipe: Recipe): RecipeProblem[] {
  const { metrics } = recipe;
  if (pathOrder(metrics) === null || pathOrder(metrics, 'golfer') === null)
    return [
      {
        where: '/metrics',
        found: 'paths that run in a circle',
        expected: 'an order in which each metric depends only on earlier ones',
        remedy: 'Take out one of the paths of the circle.',
      },
    ];
  const models = { golfer: pathModel(metrics, 'golfer'), within: pathModel(metrics) };
  return (['golfer', 'session', 'swing'] as const).flatMap((level) => {
    const worst = SKILLS.map((skill) => ({
      skill,
      own: ownVariances(models[level === 'golfer' ? 'golfer' : 'within'], metrics, level, skill),
    }));
    return MODELLED_METRICS.flatMap((metric, m) => {
      const bad = worst.find(({ own }) => own[m]! < -1e-12);
      if (bad === undefined) return [];
      const total = totalSd(metrics, metric, level, bad.skill);
      return [
        {
          where: `/metrics/${metric}/${KEY[level]}`,
          found: `an SD of ${total}`,
          expected: `at least ${Math.sqrt(total ** 2 - bad.own[m]!).toPrecision(3)}, which the paths alone bring`,
          remedy: `Raise it, or make the slopes in /metrics/${metric}/paths smaller.`,
        },
      ];
    });
  });
}
