import type { StudyProblem } from '../../study.ts';
import type { DesignKind } from './design.ts';

/** Several arms read like a control. */
export function manyControls(arms: readonly string[]): StudyProblem {
  return {
    where: 'assignments.csv, arm',
    found: `more than one arm that reads like a control: ${arms.join(', ')}`,
    expected: 'one control arm',
    remedy: 'Name the control arm in a plan and pass it with --plan.',
  };
}

/** No arm reads like a control. */
export function noControl(arms: readonly string[]): StudyProblem {
  return {
    where: 'assignments.csv, arm',
    found: `arms ${arms.join(', ')}, none of which reads like a control`,
    expected: "a control arm, such as 'usual practice' or 'control'",
    remedy:
      'Say which arm is the control in a plan and pass it with --plan; if the arms are groups that start the same drill at different times, say there that the design is a stepped start.',
  };
}

/** Nobody did a drill. */
export function onlyControl(arm: string): StudyProblem {
  return {
    where: 'assignments.csv, arm',
    found: `only the control arm '${arm}'`,
    expected: 'at least one arm that does the drill',
    remedy: 'Add the golfers who do the drill, or correct the name of the arm.',
  };
}

/** The plan tests an arm that is not there. */
export function unknownDrill(drills: readonly string[], arms: readonly string[]): StudyProblem {
  return {
    where: 'the plan, /arms/drill',
    found: drills.map((arm) => `'${arm}'`).join(', '),
    expected: `arms that are in assignments.csv: ${arms.join(', ')}`,
    remedy: 'Correct the arm in the plan or in the assignments.',
  };
}

/** More arms or periods than a crossover of two. */
export function tooManyPeriods(): StudyProblem {
  return {
    where: 'assignments.csv',
    found: 'golfers who move between more than two arms or periods',
    expected: 'two arms and two periods for each golfer in a crossover',
    remedy: 'Ask about two arms at a time: keep the rows of one comparison under their own trial_id.',
  };
}

/** A crossover in which all went the same way round. */
export function oneOrder(drill: string, control: string): StudyProblem {
  return {
    where: 'assignments.csv',
    found: `every golfer did '${drill}' first and '${control}' second`,
    expected: 'a crossover in both orders, so that time and the drill can be told apart',
    remedy:
      'Nothing in these data separates the drill from the passing of time. Plan a new crossover in which chance decides who starts with which.',
  };
}

/** The plan says one design and the assignments show another. */
export function contradiction(planned: DesignKind, found: DesignKind): StudyProblem {
  return {
    where: 'the plan, /design',
    found: `the plan says ${designName(planned)}; the assignments show ${designName(found)}`,
    expected: 'a plan and assignments that agree',
    remedy:
      'Correct whichever is wrong. If the design was changed after planning, write a new plan that says so.',
  };
}

/** The design in the words of a sentence. */
export function designName(kind: DesignKind): string {
  return {
    parallel: 'parallel groups with a control',
    crossover: 'a crossover',
    'stepped-start': 'a stepped start',
    'before-after': 'one group before and after',
  }[kind];
}
