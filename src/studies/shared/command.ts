import { shellWord } from '../../dataset/index.ts';
import type { Finding } from '../finding.ts';
import type { StudyOptions } from '../study.ts';

/** What stands in the words of a command for where the data and the plan are: that is nobody's business but the user's. */
export const FOLDER_WORD = 'FOLDER';
/** The word that stands for the plan's file in a command to ask again. */
export const PLAN_WORD = 'PLAN';

/**
 * The words that put a question again, with every option that was given. Columns and ids are quoted where a shell
 * needs it.
 *
 * @example askCommand('noise', 'lag_delivery_deg', { change: 2 })
 * // ['ask noise', '--data FOLDER', '--metric lag_delivery_deg', '--change 2']
 */
export function askCommand(study: string, metric: string, options: StudyOptions): string[] {
  const { golfers, against, change, predictor, mediator, compare, by, timeAxis, seed } = options;
  const given: readonly (readonly [string, string | number | undefined])[] = [
    ['--golfer', golfers?.join(',')],
    ['--against', against],
    ['--change', change],
    ['--predictor', predictor],
    ['--mediator', mediator],
    ['--compare', compare],
    ['--by', by],
    ['--axis', timeAxis],
    ['--seed', seed],
  ];
  return [
    `ask ${shellWord(study)}`,
    `--data ${FOLDER_WORD}`,
    `--metric ${shellWord(metric)}`,
    ...given.flatMap(([option, value]) =>
      value === undefined ? [] : [`${option} ${shellWord(String(value))}`],
    ),
    ...(options.plan === undefined ? [] : [`--plan ${PLAN_WORD}`]),
  ];
}

/**
 * The words that ask a Finding again: those it holds, or, where it holds none, its study, metric and plan.
 * @example commandOf(finding).join(' ') // 'ask drill-trial --data FOLDER --metric shaft_lean_impact_deg --plan PLAN'
 */
export function commandOf({
  study,
  metric,
  planned,
  provenance,
  specifications,
}: Pick<Finding, 'study' | 'metric' | 'planned' | 'provenance' | 'specifications'>): readonly string[] {
  const words = provenance.command ?? [
    `ask ${shellWord(study)}`,
    `--data ${FOLDER_WORD}`,
    `--metric ${shellWord(metric.column)}`,
    ...(planned.planned ? [`--plan ${PLAN_WORD}`] : []),
  ];
  return specifications === undefined ? words : [...words, '--every-choice'];
}
