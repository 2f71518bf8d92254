import type { CommandSpec } from '../command.ts';

export const inspectCommand: CommandSpec = {
  name: 'inspect',
  summary: 'Say what a capture file (C3D or CSV) holds: rate, frames, points, units, events.',
  example: 'inspect swing.c3d --frame 120 --json',
  arguments: [{ usage: '<file>', summary: 'the capture' }],
  options: [{ usage: '--frame <number>', summary: 'list the points at this frame (default: the first)' }],
  load: () => import('../commands/inspect.ts'),
};
