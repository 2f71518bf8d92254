import type { CommandSpec } from '../command.ts';

export const askCommand: CommandSpec = {
  name: 'ask',
  summary: 'Put a question to a dataset: drill-trial, noise, one-golfer, mechanism, instructors, waveform.',
  example: 'ask drill-trial --data my-roster --metric shaft_lean_impact_deg --out my-report',
  arguments: [
    {
      usage: '<study>',
      summary: 'which question: drill-trial, noise, one-golfer, mechanism, instructors, waveform',
    },
  ],
  options: [
    { usage: '--data <folder>', summary: 'the dataset folder', required: true },
    { usage: '--metric <column>', summary: 'the number that answers, a column of swings.csv' },
    {
      usage: '--golfer <ids>',
      summary: 'one-golfer: whom it is about; several, with commas between them, begin one after the other',
    },
    { usage: '--plan <file>', summary: 'a plan written beforehand (JSON), locked or not' },
    {
      usage: '--seal <seal>',
      summary: 'the seal as it was told when the plan was locked; refuses a plan with another',
    },
    {
      usage: '--against <column>',
      summary: 'of noise: another metric in the same unit, compared on the same swings',
    },
    { usage: '--change <size>', summary: 'of noise: the change to be seen, in the unit of the metric' },
    {
      usage: '--predictor <column>',
      summary: 'of mechanism: the number that says how early the elbow straightens',
    },
    {
      usage: '--mediator <column>',
      summary: 'of mechanism: the number that says how late the club is let go',
    },
    {
      usage: '--compare <what>',
      summary: 'of waveform: arms-change, arms-after, before-after or by-number',
    },
    {
      usage: '--by <column>',
      summary: 'of waveform: a number of the golfer to compare curves by, such as handicap_index',
    },
    { usage: '--axis <layout>', summary: 'of waveform: registered, percent or milliseconds' },
    {
      usage: '--seed <number>',
      summary: 'of studies that draw at random: a whole number, in place of that of the plan',
    },
    {
      usage: '--every-choice',
      summary: 'ask again under every combination of stated choices, and say in how many the answer holds',
    },
    {
      usage: '--golfer-pages',
      summary: 'of drill-trial: beside the report, a page for each golfer that names nobody else, and a list',
    },
    { usage: '--out <folder>', summary: 'a new folder for the report' },
  ],
  load: () => import('../commands/ask.ts'),
};
