import { closestName } from '../../stats/index.ts';
import type { CaptureProblem } from '../problem.ts';
import { ANGLE_ROLES, type AngleDefinition } from './definition.ts';

/** The names behind a role: `A+B` stands for the midpoint of A and B. */
export function namesOf(text: string): string[] {
  return text
    .split('+')
    .map((name) => name.trim())
    .filter((name) => name !== '');
}

/** What is wrong with the roles as given, all at once; nothing about the table yet. */
export function checkRoles(
  definition: AngleDefinition,
  points: Readonly<Record<string, string>>,
): CaptureProblem[] {
  const roles: readonly string[] = ANGLE_ROLES[definition];
  const missing = roles
    .filter((role) => namesOf(points[role] ?? '').length === 0)
    .map(
      (role): CaptureProblem => ({
        where: `points ${role}`,
        found: 'nothing',
        expected: `the name of the point that is the ${role.replaceAll('_', ' ')}`,
        remedy: `Add ${role}=NAME.`,
      }),
    );
  const unknown = Object.keys(points)
    .filter((role) => !roles.includes(role))
    .map((role): CaptureProblem => {
      const meant = closestName(role, roles);
      return {
        where: `points ${role}`,
        found: 'a role that this definition does not have',
        expected: `only ${roles.join(', ')}`,
        remedy: meant === null ? 'Remove it, or correct its spelling.' : `Write ${meant} if you mean that.`,
      };
    });
  return [...missing, ...unknown];
}

/** The roles whose names the table does not have, each with the nearest name that it has. */
export function checkNames(
  points: Readonly<Record<string, string>>,
  labels: readonly string[],
  header: readonly string[],
): CaptureProblem[] {
  return Object.entries(points).flatMap(([role, text]) =>
    namesOf(text)
      .filter((name) => !labels.includes(name))
      .map((name) => absent(role, name, labels, header)),
  );
}

function absent(
  role: string,
  name: string,
  labels: readonly string[],
  header: readonly string[],
): CaptureProblem {
  const where = `points ${role}`;
  const asAngles = header.filter((column) => column.startsWith(name) && /(deg|rad|°)/i.test(column));
  if (asAngles.length > 0)
    return {
      where,
      found: `the columns ${asAngles.join(', ')}, which by their names are angles`,
      expected: `${name}_x, ${name}_y and ${name}_z, the position of a point as a length`,
      remedy: 'Export the positions of the markers; an angle is computed from them.',
    };
  const near = closestName(name, labels);
  return {
    where,
    found: `${name}, which the table does not have`,
    expected: `one of ${labels.join(', ')}`,
    remedy:
      near === null
        ? 'Correct the name, or add its columns to the table.'
        : `Write ${near} if you mean that.`,
  };
}
