import type { CommandSpec } from '../command.ts';

export const measureCommand: CommandSpec = {
  name: 'measure',
  summary: 'From a capture (C3D or CSV), or a folder of them, and its layout to the numbers of each swing.',
  example: 'measure --capture swing.c3d --layout layout.json --json',
  options: [
    { usage: '--capture <file>', summary: 'one capture (C3D or CSV)' },
    {
      usage: '--captures <folder>',
      summary:
        'a folder of captures (.c3d, .csv); a manifest.csv in it (file, swing_id, session_id, order_in_session, task, layout) says which swing each one is',
    },
    {
      usage: '--layout <file>',
      summary: 'which channel is which landmark (JSON; see data-schemas/layout.schema.json)',
      required: true,
    },
    {
      usage: '--out <folder>',
      summary: 'with --captures: a new folder for the tables, or one to go on with after a stop',
    },
    {
      usage: '--against <file>',
      summary:
        'with --capture: numbers that another source gave for this swing (JSON, by metric column); says of each that differs what it looks like',
    },
  ],
  load: () => import('../commands/measure.ts'),
};
