import { isMetricColumn, metricCatalogue, quantityCatalogue } from '../kinematics/index.ts';
import type { ExclusionRule, Plan } from './plan.ts';
import { type PlanProblem, shown } from './plan-problem.ts';
import { nearest } from './read/nearest.ts';
import { tableSchema } from './schema.ts';

/** What must hold between the parts of a plan that the schema has let through, where it does not. */
export function partsThatDisagree(plan: Plan): PlanProblem[] {
  const problems: PlanProblem[] = [];
  const { column } = plan.metric;
  const quantities = plan.study === 'waveform' ? quantityCatalogue.map(({ id }) => id) : [];
  if (!isMetricColumn(column) && !quantities.includes(column)) {
    const columns = quantities.length > 0 ? quantities : metricCatalogue.map((metric) => metric.column);
    const meant = nearest(column, columns);
    problems.push({
      where: '/metric/column',
      found: shown(column),
      expected: `a ${quantities.length > 0 ? 'quantity of curves.csv' : 'metric column'}: ${columns.join(', ')}`,
      remedy: meant === null ? 'Use one of these columns.' : `Write ${meant}, if that is what is meant.`,
    });
  }
  const { control, drill = [] } = plan.arms ?? {};
  if (control !== undefined && drill.includes(control))
    problems.push({
      where: '/arms/drill',
      found: shown(control),
      expected: 'the control in no other place',
      remedy: `Take ${control} out of the drill arms, or name another control.`,
    });
  if (plan.design === 'parallel' && plan.arms !== undefined && control === undefined)
    problems.push({
      where: '/arms/control',
      found: 'nothing',
      expected: 'the arm without the drill, which a parallel design compares with',
      remedy: 'Name the control arm, or choose the design before-after.',
    });
  const { before, after, retention } = plan.phases ?? {};
  const phases = [before, after, retention].filter((phase) => phase !== undefined);
  if (new Set(phases).size < phases.length)
    problems.push({
      where: '/phases',
      found: phases.join(', '),
      expected: 'three different phases',
      remedy: 'Name each phase once.',
    });
  problems.push(...(plan.exclusionRules ?? []).flatMap(ruleProblems), ...dateProblems(plan));
  return problems;
}

function ruleProblems(rule: ExclusionRule, at: number): PlanProblem[] {
  const { table, column } = rule;
  const where = `/exclusionRules/${at}`;
  const problems: PlanProblem[] = [];
  const columns = tableSchema(table).fields.map(({ name }) => name);
  const field = tableSchema(table).fields.find(({ name }) => name === column);
  if (field === undefined) {
    const meant = nearest(column, columns);
    problems.push({
      where: `${where}/column`,
      found: shown(column),
      expected: `a column of ${table}.csv: ${columns.join(', ')}`,
      remedy: meant === null ? 'Use one of these columns.' : `Write ${meant}, if that is what is meant.`,
    });
  }
  const tests = (['is', 'below', 'above', 'missing'] as const).filter((test) => rule[test] !== undefined);
  if (tests.length !== 1)
    problems.push({
      where,
      found: tests.length === 0 ? 'no test of the value' : tests.join(' and '),
      expected: 'one of: is, below, above, missing',
      remedy: 'Give each test a rule of its own.',
    });
  else if (field !== undefined && !fits(field.type, rule))
    problems.push({
      where: `${where}/${tests[0]}`,
      found: shown(rule[tests[0]!]),
      expected: `${KINDS[field.type]}, for ${column} holds such values`,
      remedy: 'Correct the value, or choose another column.',
    });
  return problems;
}

const KINDS = {
  string: 'a text under is',
  date: 'a date as a text under is',
  boolean: 'true or false under is',
  number: 'a number',
  integer: 'a whole number',
} as const;

function fits(type: keyof typeof KINDS, { is, below, above }: ExclusionRule): boolean {
  const numeric = type === 'number' || type === 'integer';
  if (below !== undefined || above !== undefined) return numeric;
  if (is === undefined) return true;
  return typeof is === (numeric ? 'number' : type === 'boolean' ? 'boolean' : 'string');
}

function dateProblems({ stoppingRule }: Plan): PlanProblem[] {
  const date = stoppingRule?.lastDate;
  if (date === undefined) return [];
  const read = new Date(`${date}T00:00:00Z`);
  if (!Number.isNaN(read.getTime()) && read.toISOString().startsWith(date)) return [];
  return [
    {
      where: '/stoppingRule/lastDate',
      found: shown(date),
      expected: 'a day of the calendar, such as 2027-03-31',
      remedy: 'Correct the date.',
    },
  ];
}
