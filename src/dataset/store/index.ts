export { type PackedDataset, packDataset } from './pack.ts';
export type { CellCount, PackedTable } from './pack-table.ts';
export { type QueryAnswer, type QueryColumn, queryDataset } from './query.ts';
export {
  type CellSums,
  type CellsWanted,
  loadSummedCells,
  type SwingCells,
  type SwingFacts,
} from './summed-cells.ts';
export {
  loadSummed,
  packedSwings,
  type SummedDataset,
  type SwingSums,
} from './summed-swings.ts';
export { type UnpackedDataset, type UnpackedTable, unpackDataset } from './unpack.ts';
