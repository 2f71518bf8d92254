import type { CommandSpec } from '../command.ts';

export const generateCommand: CommandSpec = {
  name: 'generate',
  summary: 'Make an invented roster whose truth is known, from a recipe and a seed.',
  example: 'generate --recipe drill-no-effect --seed 7 --out invented-roster',
  options: [
    {
      usage: '--recipe <name>',
      summary: 'a recipe of synthetic/recipes/ by name, or a file ending in .json',
      required: true,
    },
    {
      usage: '--seed <number>',
      summary: 'a whole number; the same seed gives the same bytes',
      required: true,
    },
    { usage: '--out <folder>', summary: 'a new folder for the dataset and truth.json', required: true },
    {
      usage: '--captures',
      summary:
        'also write each full swing as a C3D capture; for recipes whose swings come from the mechanics',
    },
  ],
  load: () => import('../commands/generate.ts'),
};
