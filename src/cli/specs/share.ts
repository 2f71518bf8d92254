import type { CommandSpec } from '../command.ts';

export const shareCommand: CommandSpec = {
  name: 'share',
  summary:
    'Write an export for handing on: by consent, without whoever would stand out, under codes, with dates and groups made coarse.',
  example: 'share my-roster --scope share --out for-others',
  arguments: [{ usage: '[folder]', summary: 'the dataset folder' }],
  options: [
    { usage: '--data <folder>', summary: 'the dataset folder, if not given as the first word' },
    {
      usage: '--scope <scope>',
      summary: 'what the golfers must have agreed to: coaching, study or share',
      required: true,
    },
    { usage: '--out <folder>', summary: 'a new folder', required: true },
    {
      usage: '--key <file>',
      summary: 'a key, outside the dataset: the same codes in every export of this scope',
    },
    { usage: '--captures', summary: 'captures too, freed of texts; a movement can be recognised' },
  ],
  load: () => import('../commands/share.ts'),
};
