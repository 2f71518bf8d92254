import type { CommandSpec } from '../command.ts';

export const angleCommand: CommandSpec = {
  name: 'angle',
  summary:
    'Compute a joint angle, row by row, from a table of points; show every step of it, its error and its rivals.',
  example:
    'angle --definition three-point-elbow --data points.csv --points shoulder=SHO,elbow=ELB,wrist=WRI --json',
  options: [
    {
      usage: '--definition <name>',
      summary: 'three-point-elbow, or isb-elbow (Wu et al. 2005)',
      required: true,
    },
    { usage: '--data <file>', summary: 'a CSV with the columns NAME_x, NAME_y, NAME_z', required: true },
    {
      usage: '--points <list>',
      summary: 'which point is which: ROLE=NAME,... (NAME+NAME is the midpoint)',
      required: true,
    },
    { usage: '--side <side>', summary: 'right (default) or left, for isb-elbow' },
    {
      usage: '--steps <row>',
      summary: 'every intermediate of this row with equation and source, and its error budget',
    },
    {
      usage: '--published <file>',
      summary:
        'angles as published, by row of the points (JSON with source and angles, or a CSV with the column row): says whether they are reproduced',
    },
    {
      usage: '--tolerance-deg <size>',
      summary: 'with --published: the largest difference that is none (default 0.1)',
    },
    { usage: '--out <folder>', summary: 'a new folder for the report on the angle' },
    { usage: '--compare', summary: 'other definitions of the elbow beside isb-elbow, and why they differ' },
    {
      usage: '--noise-mm <sd>',
      summary: 'SD of each coordinate of a marker; puts the SD of each angle beside it',
    },
    {
      usage: '--unit <unit>',
      summary: 'm, cm, mm or in, where the columns do not say and the arm does not tell',
    },
  ],
  load: () => import('../commands/angle.ts'),
};
