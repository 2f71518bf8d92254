import type { CommandSpec } from '../command.ts';

export const fitCommand: CommandSpec = {
  name: 'fit',
  summary: 'Fit a model, described as a JSON object, to the columns of a CSV file.',
  example: 'fit --model model.json --data data.csv --predict --json',
  options: [
    {
      usage: '--model <file>',
      summary: 'the model (JSON; see data-schemas/model.schema.json)',
      required: true,
    },
    { usage: '--data <file>', summary: 'the data (CSV with a header)', required: true },
    { usage: '--predict', summary: "add each group level's own effects with their conditional SDs" },
  ],
  load: () => import('../commands/fit.ts'),
};
