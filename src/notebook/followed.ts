import { createHash } from 'node:crypto';
import { readdir, readFile, stat } from 'node:fs/promises';
import { dirname, join, resolve, sep } from 'node:path';
import { build } from 'esbuild';
import { filesUnder } from './provenance.ts';

/** What a notebook shows depends on these: itself, the modules beside it that it imports, its data. */
export interface Followed {
  /** Changes with the time or the size of any of them; cheap, so that it can be asked again and again. */
  stamp(): Promise<string>;
  /** Changes with what any of them holds; null while the notebook itself is away, as it is while some editors write. */
  content(): Promise<string | null>;
}

/** @param outDir left out of the data, where it lies among them: it changes with every run */
export async function follow(path: string, dataDir: string | null, outDir: string): Promise<Followed> {
  const sources = await sourcesOf(path);
  const files = async (): Promise<string[]> => {
    const data = dataDir === null ? [] : await filesUnder(dataDir).catch(() => []);
    const own = resolve(outDir) + sep;
    return [...(await sources()), ...data.map((file) => resolve(dataDir ?? '', file))].filter(
      (file) => !file.startsWith(own),
    );
  };
  return {
    async stamp() {
      const stats = (await files()).map(async (file) => {
        const found = await stat(file).catch(() => null);
        return `${file} ${found === null ? 'away' : `${found.mtimeMs} ${found.size}`}`;
      });
      return (await Promise.all(stats)).join('\n');
    },
    async content() {
      const hash = createHash('sha256');
      for (const file of await files()) {
        const bytes = await readFile(file).catch(() => null);
        if (bytes === null && file === resolve(path)) return null;
        hash.update(`\n${file} ${bytes?.length ?? 'away'}\n`).update(bytes ?? '');
      }
      return hash.digest('hex');
    },
  };
}

/**
 * The notebook and all modules that it imports by a path, and they in turn. Where one of them cannot be read, or is not there
 * yet, all code beside the notebook is followed.
 */
async function sourcesOf(path: string): Promise<() => Promise<readonly string[]>> {
  const own = resolve(path);
  const folder = dirname(own);
  try {
    const { metafile } = await build({
      entryPoints: [own],
      absWorkingDir: folder,
      bundle: true,
      packages: 'external',
      platform: 'node',
      format: 'esm',
      write: false,
      outdir: 'nowhere',
      metafile: true,
      logLevel: 'silent',
      tsconfigRaw: '{}',
    });
    const files = [own, ...Object.keys(metafile.inputs).map((file) => join(folder, file))];
    return async () => [...new Set(files)].sort();
  } catch {
    return async () => {
      const names = await readdir(folder).catch(() => []);
      const code = names.filter((name) => /\.[cm]?[jt]s$/.test(name)).map((name) => join(folder, name));
      return [...new Set([own, ...code])].sort();
    };
  }
}
