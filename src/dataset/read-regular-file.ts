import { constants } from 'node:fs';
import { open } from 'node:fs/promises';

/** What was named is a pipe, a device or a folder, and no file. */
export class NoRegularFileError extends Error {
  override readonly name = 'NoRegularFileError';
  /** As the file system says it of a folder; a code of our own for the others. */
  readonly code: 'EISDIR' | 'ENOTFILE';

  constructor(path: string, isFolder: boolean) {
    super(`readRegularFile: ${path} is no ordinary file. Give one.`);
    this.code = isFolder ? 'EISDIR' : 'ENOTFILE';
  }
}

/**
 * The bytes of an ordinary file. A pipe or a device has no end that could be waited for, so it is refused at once; `readFile`
 * would never come back.
 *
 * @throws NoRegularFileError where it is no ordinary file; errors of the file system otherwise
 * @example (await readRegularFile('plan.json')).equals(readFileSync('plan.json')) // true
 */
export async function readRegularFile(path: string): Promise<Buffer> {
  // Without O_NONBLOCK, opening a pipe waits for somebody to write into it. Windows has neither.
  const handle = await open(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const entry = await handle.stat();
    if (!entry.isFile()) throw new NoRegularFileError(path, entry.isDirectory());
    return await handle.readFile();
  } finally {
    await handle.close();
  }
}
