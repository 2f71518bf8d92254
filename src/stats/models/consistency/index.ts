export type {
  ConsistencyModel,
  ConsistencyOutcome,
  ConsistencyResult,
  GroupConsistency,
  GroupParameter,
} from './consistency-model.ts';
export { fitConsistency } from './fit-consistency.ts';
