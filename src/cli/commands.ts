import type { CommandSpec } from './command.ts';
import { allocateCommand } from './specs/allocate.ts';
import { angleCommand } from './specs/angle.ts';
import { askCommand } from './specs/ask.ts';
import { calibrateCommand } from './specs/calibrate.ts';
import { checkCommand } from './specs/check.ts';
import { demoCommand } from './specs/demo.ts';
import { eraseCommand } from './specs/erase.ts';
import { exportCommand } from './specs/export.ts';
import { fitCommand } from './specs/fit.ts';
import { fitSumsCommand } from './specs/fit-sums.ts';
import { generateCommand } from './specs/generate.ts';
import { importCommand } from './specs/import.ts';
import { initCommand } from './specs/init.ts';
import { inspectCommand } from './specs/inspect.ts';
import { lockCommand } from './specs/lock.ts';
import { measureCommand } from './specs/measure.ts';
import { packCommand } from './specs/pack.ts';
import { planCommand } from './specs/plan.ts';
import { pseudonymiseCommand } from './specs/pseudonymise.ts';
import { runCommand } from './specs/run.ts';
import { shareCommand } from './specs/share.ts';
import { unpackCommand } from './specs/unpack.ts';
import { verifyCommand } from './specs/verify.ts';

/**
 * Every command, in the order of the help; how each is typed stands in a file of its own in specs/. The work itself is
 * loaded only when the command runs, so that asking for help does not load a statistics package.
 */
export const COMMANDS: readonly CommandSpec[] = [
  demoCommand,
  initCommand,
  checkCommand,
  importCommand,
  askCommand,
  fitCommand,
  fitSumsCommand,
  measureCommand,
  inspectCommand,
  angleCommand,
  runCommand,
  verifyCommand,
  exportCommand,
  generateCommand,
  planCommand,
  calibrateCommand,
  allocateCommand,
  lockCommand,
  pseudonymiseCommand,
  shareCommand,
  eraseCommand,
  packCommand,
  unpackCommand,
];
