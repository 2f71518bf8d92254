export { toArquero } from './arquero.ts';
export { canonicalJson } from './canonical-json.ts';
export { checkTables, type ReadTables } from './check-tables.ts';
export type { Column, NumberColumn, TextColumn } from './column.ts';
export { csvLine } from './csv-write.ts';
export * from './curves/index.ts';
export { type DataFrame, type DataFrameModule, fromDataFrame, loadDanfo, toDataFrame } from './danfo.ts';
export type { Dataset, InputFile, Tables } from './dataset.ts';
export { type DescribeOptions, describeProblems } from './describe-problems.ts';
export { type DescriptorOptions, packageDescriptor } from './descriptor.ts';
export { allowedWords, dictionaryPage } from './dictionary.ts';
export { FolderInUseError } from './folder-lock.ts';
export type { Replacement } from './folder-replacement.ts';
export { cellOfText, textOfCell } from './formula-text.ts';
export { datasetFromRows, type RowInput, type RowsInput } from './from-rows.ts';
export {
  type AssignmentRow,
  type CaptureRow,
  type GolferRow,
  type InstructorRow,
  type PracticeRow,
  type SessionRow,
  type SwingRow,
  TABLE_NAMES,
  type TableName,
  type TableRows,
} from './generated/rows.ts';
export { sha256Hex } from './hash.ts';
export * from './import/index.ts';
export { initDataset, starterFiles } from './init.ts';
export { keepGolfers } from './keep-golfers.ts';
export { keepSwings } from './keep-swings.ts';
export { loadDataset } from './load.ts';
export {
  type FailedCapture,
  type MeasuredFolder,
  type MeasureFolderRequest,
  type MeasureFolderResult,
  measureFolder,
} from './measure-folder/measure-folder.ts';
export {
  AlreadyThereError,
  type FileContent,
  fillNewFolder,
  writeNewFile,
  writeNewFolder,
} from './new-files.ts';
export {
  type PlainColumn,
  type PlainKind,
  plainColumns,
  plainKind,
  tableFromPlain,
} from './plain-columns.ts';
export {
  type CheckedPlan,
  checkPlan,
  type ExclusionRule,
  type LoadedPlan,
  loadPlan,
  type Plan,
} from './plan.ts';
export { type OpenOutcome, openFor } from './plan-allocation/open-list.ts';
export {
  armsOf,
  fitsSeal,
  type OpenedEntry,
  openEntry,
  type SealedList,
  sealList,
} from './plan-allocation/sealed-list.ts';
export { STRATUM_COLUMNS, type StratumRule, strataOf, stratumRules } from './plan-allocation/strata.ts';
export { compareWithLock, lockedPlanText, lockPlan } from './plan-lock/lock-plan.ts';
export type {
  LockChange,
  LockedData,
  LockedPlan,
  LockedTable,
  PhaseCounts,
  PlanLock,
} from './plan-lock/plan-lock.ts';
export type { PlanProblem } from './plan-problem.ts';
export * from './privacy/index.ts';
export type { Checked, Problem, ProblemKind } from './problem.ts';
export { readTypedJson, type TypedJson } from './read/json-typed.ts';
export { nearest } from './read/nearest.ts';
export { type ReadColumns, readColumns } from './read-columns.ts';
export { NoRegularFileError, readRegularFile } from './read-regular-file.ts';
export {
  FolderChangedError,
  FolderUnsettledError,
  replaceFolder,
  settleFolder,
} from './replace-folder.ts';
export {
  type FieldSchema,
  type ForeignKey,
  isRequired,
  REQUIRED_TABLES,
  type TableSchema,
  tableSchema,
} from './schema.ts';
export { shellWord, shellWords } from './shell-words.ts';
export * from './store/index.ts';
export * from './sums/index.ts';
export { type ColumnValues, Table } from './table.ts';
export { datasetFiles, type WriteOptions, writeDataset } from './write.ts';
