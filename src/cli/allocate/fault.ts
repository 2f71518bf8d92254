import type { Fault } from '../result.ts';

export function fault(where: string, found: string, expected: string, remedy: string): Fault {
  return { where, found, expected, remedy };
}
