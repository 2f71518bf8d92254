import type { StudyProblem } from '../study.ts';

export function problem(where: string, found: string, expected: string, remedy: string): StudyProblem {
  return { where, found, expected, remedy };
}
