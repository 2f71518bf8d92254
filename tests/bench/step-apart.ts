import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** Runs a step of a bench in a process of its own, so that its peak memory is that of the step: `--step NAME FOLDER ROWS`. */
export function stepApart(bench: string, name: string, folder: string, rows: number): void {
  // As the command line sets it (src/cli/main.ts).
  const program = ['--heap-growing-percent=30', '--import', 'tsx', fileURLToPath(bench)];
  spawnSync(process.execPath, [...program, '--step', name, folder, String(rows)], { stdio: 'inherit' });
}
