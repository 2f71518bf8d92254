/** What a report should state, item by item. */

export { type ReportingSources, STATEMENTS, type StatementKey } from './answers.ts';
export type { Guideline, ReportingChecklist, ReportingItem } from './reporting.ts';
export { reportingChecklist } from './reporting-checklist.ts';
