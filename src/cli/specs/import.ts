import type { CommandSpec } from '../command.ts';

export const importCommand: CommandSpec = {
  name: 'import',
  summary:
    'Bring a spreadsheet (CSV, .xlsx) into a dataset: first propose a mapping to look through, then apply it.',
  example: 'import --propose lesson.xlsx --out my-mapping',
  options: [
    { usage: '--propose <file>', summary: 'the spreadsheet for which a mapping is proposed' },
    {
      usage: '--mapping <file>',
      summary: 'the mapping to apply (JSON; see data-schemas/import-mapping.schema.json)',
    },
    {
      usage: '--data <folder>',
      summary:
        'the dataset that is extended or begun; with --propose, the one whose golfers are known, by code and by the names of earlier imports',
    },
    {
      usage: '--file <file>',
      summary: 'with --mapping: another spreadsheet of the same columns than the one beside the mapping',
    },
    {
      usage: '--out <folder>',
      summary:
        'with --propose: a new folder for the mapping and a copy of the file; with --mapping: a new folder in place of changing --data',
    },
  ],
  load: () => import('../commands/import.ts'),
};
