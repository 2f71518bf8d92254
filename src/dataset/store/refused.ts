import type { Problem } from '../problem.ts';

/** Ends the making of a folder because of problems with the data, which become the outcome. */
export class Refused extends Error {
  override readonly name = 'Refused';
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super('refused because of problems with the data');
    this.problems = problems;
  }
}
