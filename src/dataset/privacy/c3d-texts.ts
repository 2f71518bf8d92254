const BLOCK = 512;

/** The header and the parameters of a C3D file, where its texts are; null where it is no C3D file. */
export function c3dTextBytes(bytes: Uint8Array): Uint8Array | null {
  const [block, mark] = [bytes[0] ?? 0, bytes[1] ?? 0];
  const start = (Math.max(2, block) - 1) * BLOCK;
  if (mark !== 0x50 || start + 4 > bytes.length) return null;
  const [blocks, processor] = [bytes[start + 2]!, bytes[start + 3]!];
  if (processor < 84 || processor > 86) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const frames = (view.getUint16(16, processor !== 86) - 1) * BLOCK;
  const stated = start + blocks * BLOCK;
  // Parameters normally stand before the frames; where they stand behind, the whole file is taken.
  const end = frames > start ? Math.max(frames, stated) : bytes.length;
  return bytes.subarray(0, Math.min(bytes.length, end));
}
