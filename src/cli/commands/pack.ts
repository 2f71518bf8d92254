import { type CellCount, type PackedTable, packDataset, shellWord } from '../../dataset/index.ts';
import type { Given } from '../command.ts';
import { datasetRefused, warningsInWords } from '../dataset-words.ts';
import { takenFolder } from '../files.ts';
import { folderGiven, textOption } from '../folder.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, good, refused } from '../result.ts';

export async function run(given: Given, progress: Progress): Promise<CommandResult> {
  const folder = folderGiven(given, 'data');
  if (!folder.ok) return folder.result;
  const out = textOption(given, 'out') ?? '';
  const taken = await takenFolder('--out', out);
  if (taken.length > 0) return refused(2, taken);
  progress.step('Packing');
  const packed = await packDataset(folder.path, out);
  if (!packed.valid) return datasetRefused(packed.problems);
  const { tables, carried } = packed.value;
  const text = [
    `Packed ${folder.path} into ${out}, without change of a value:`,
    ...tables.map(tableInWords),
    ...tables.flatMap(changesInWords),
    ...(carried.length === 0
      ? []
      : [`Carried along unchanged: ${carried.length} ${carried.length === 1 ? 'file' : 'files'}.`]),
    `It is read like the folder itself; to have CSV again: npm run --silent cli -- unpack ${shellWord(out)} --out NEW`,
  ];
  return good({ out, tables, carried }, text.join('\n'), warningsInWords(packed.problems, folder.path));
}

function tableInWords({ table, rows, files, bytes, csvBytes }: PackedTable): string {
  const size = csvBytes === 0 ? '' : `, ${((100 * bytes) / csvBytes).toFixed(0)} % of the size`;
  return `- ${table}: ${rows} rows in ${files.length === 1 ? files[0] : `${files.length} files`}${size}`;
}

function changesInWords({ table, respelled, asText, unnamed }: PackedTable): string[] {
  const list = (counts: readonly CellCount[]) =>
    counts.map(({ column, cells }) => `${column} (${cells})`).join(', ');
  return [
    ...(respelled.length === 0
      ? []
      : [
          `In ${table}, so many cells will come back in another spelling of the same value, such as 1.50 as 1.5: ${list(respelled)}.`,
        ]),
    ...(asText.length === 0
      ? []
      : [
          `In ${table}, columns are kept as text because so many cells do not fit the column: ${list(asText)}. 'check' says what is wrong with them.`,
        ]),
    ...(unnamed === 0 ? [] : [`In ${table}, ${unnamed} empty columns without a name were left out.`]),
  ];
}
