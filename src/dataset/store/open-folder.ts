import { readFile, realpath, stat } from 'node:fs/promises';
import { codeOf } from '../new-files.ts';
import type { Problem } from '../problem.ts';
import { type ReadDescriptor, readDescriptor } from '../read/descriptor.ts';
import { cannotBeRead, faultOf, fileInside } from '../read/inside.ts';
import { settleFolder } from '../replace-folder.ts';

export interface OpenFolder {
  /** The folder, links resolved. */
  readonly root: string;
  readonly descriptor: ReadDescriptor;
}

/** Opens a dataset's folder and reads its descriptor; problems where either cannot be used. */
export async function openFolder(
  folder: string,
): Promise<OpenFolder | { readonly problems: readonly Problem[] }> {
  const fault = (found: string, remedy: string) => ({
    problems: [
      faultOf('the folder', { kind: 'missing-file', found, expected: 'a folder with a dataset', remedy }),
    ],
  });
  await settleFolder(folder);
  let root: string;
  try {
    root = await realpath(folder);
    if (!(await stat(root)).isDirectory())
      return fault(`${folder} is a file`, 'Give the folder the file is in.');
  } catch (error) {
    return codeOf(error) === 'ENOENT' || codeOf(error) === 'ENOTDIR'
      ? fault(`no folder ${folder}`, 'Check the spelling.')
      : fault(`${folder} cannot be opened`, 'Ask for the right to read it.');
  }
  const at = await fileInside(root, 'datapackage.json');
  if ('fault' in at) return { problems: [faultOf('datapackage.json', at.fault)] };
  let bytes: Uint8Array | null;
  try {
    bytes = 'path' in at ? await readFile(at.path) : null;
  } catch {
    return { problems: [faultOf('datapackage.json', cannotBeRead('datapackage.json'))] };
  }
  const descriptor = readDescriptor(bytes);
  return descriptor.problems.length > 0 ? { problems: descriptor.problems } : { root, descriptor };
}
