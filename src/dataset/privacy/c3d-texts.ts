import type { ByteSource } from './byte-source.ts';

const BLOCK = 512;
/** The header counts the block at which the frames begin in sixteen bits. */
const MOST_BEFORE_FRAMES = 0x10000 * BLOCK;

/** The header and the parameters of a C3D file, where its texts are; null where it is no C3D file. */
export async function c3dTextBytes(source: ByteSource): Promise<Buffer | null> {
  const head = await source.read(0, BLOCK);
  const [block, mark] = [head[0] ?? 0, head[1] ?? 0];
  const start = (Math.max(2, block) - 1) * BLOCK;
  if (mark !== 0x50 || head.length < BLOCK) return null;
  const parameters = await source.read(start, 4);
  if (parameters.length < 4) return null;
  const [blocks, processor] = [parameters[2]!, parameters[3]!];
  if (processor < 84 || processor > 86) return null;
  const frames = ((processor === 86 ? head.readUInt16BE(16) : head.readUInt16LE(16)) - 1) * BLOCK;
  const stated = start + blocks * BLOCK;
  // Parameters normally stand before the frames; where they stand behind, all that may be a text is taken.
  const end = frames > start ? Math.max(frames, stated) : Math.max(MOST_BEFORE_FRAMES, stated);
  return source.read(0, Math.min(source.size, end));
}
