import type { CommandSpec } from '../command.ts';

export const fitSumsCommand: CommandSpec = {
  name: 'fit-sums',
  summary:
    'Fit a nested normal model to a table of any size from sums over its groups, made here or by another SQL engine.',
  example: 'fit-sums --model model.json --data swings.parquet --json',
  options: [
    {
      usage: '--model <file>',
      summary: 'the model (JSON; see data-schemas/model.schema.json)',
      required: true,
    },
    { usage: '--data <file>', summary: 'the rows (Parquet, or CSV with a header), summed in one pass' },
    { usage: '--sums <file>', summary: 'the sums, as made by the printed SQL (CSV with a header)' },
    { usage: '--table <name>', summary: 'print the SQL that makes the sums from this table, and stop' },
    { usage: '--print-sql', summary: 'with --data: print the SQL that was run, and stop' },
    { usage: '--predict', summary: "add each group level's own effects with their conditional SDs" },
  ],
  load: () => import('../commands/fit-sums.ts'),
};
