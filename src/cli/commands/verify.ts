import type { Given } from '../command.ts';
import { textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, refused } from '../result.ts';
import { reportGiven } from '../verify/report-given.ts';
import { verifyFinding } from '../verify/verify-finding.ts';
import { verifyNotebook } from '../verify/verify-notebook.ts';

/** Makes a report again from what it says it came from, and compares: exit 0 identical, 1 moved, 2 a wrong request. */
export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const report = await reportGiven(given.arguments[0] ?? '');
  const data = textOption(given, 'data');
  switch (report.kind) {
    case 'wrong':
      return refused(2, [report.fault]);
    case 'finding':
      return verifyFinding(report, { data, plan: textOption(given, 'plan') }, progress);
    case 'notebook':
      return verifyNotebook(report, { data, notebook: textOption(given, 'notebook') }, progress);
  }
}
