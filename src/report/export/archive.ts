import { zipSync } from 'fflate';

/**
 * Files by path as a zip archive, in order of path and without a time, so that the same files give the same bytes.
 *
 * @throws Error when a path leads out of the archive
 * @example zipArchive({ 'a/b.txt': 'text' }).length > 0 // true
 */
export function zipArchive(files: Readonly<Record<string, string | Uint8Array>>): Uint8Array {
  const paths = Object.keys(files).sort((a, b) => (a < b ? -1 : 1));
  const leading = paths.find((path) => !isInside(path));
  if (leading !== undefined)
    throw new Error(`zipArchive: '${leading}' leads out of the archive. Use a path inside it.`);
  const entries = paths.map((path) => [path, bytesOf(files[path]!)] as const);
  // Midnight of the first day an archive can name, by its clock without a zone: not the time of the making.
  return zipSync(Object.fromEntries(entries), { mtime: new Date(1980, 0, 1), level: 9 });
}

export function bytesOf(content: string | Uint8Array): Uint8Array {
  return typeof content === 'string' ? new TextEncoder().encode(content) : content;
}

function isInside(path: string): boolean {
  return (
    !path.includes('\\') &&
    !/^[A-Za-z]:/.test(path) &&
    path.split('/').every((part) => !['', '.', '..'].includes(part))
  );
}
