export type { EngineOptions } from './sql-engine.ts';
export { sqlName, sqlTable } from './sql-text.ts';
export { type FileSums, type FileSumsOutcome, sumFile } from './sum-file.ts';
export { sumsQuery } from './sums-query.ts';
