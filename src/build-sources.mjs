// @ts-check
/**
 * Makes JavaScript of the package's sources, because a thousand small files of TypeScript take longer to load than most of
 * what is asked of them. Plain JavaScript itself, since it comes before whatever could load anything else.
 */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { isBuiltin } from 'node:module';
import { copyFile, mkdir, mkdtemp, readdir, rename, rm, stat, symlink } from 'node:fs/promises';
import { join, posix, relative, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
/** What the sources read from beside src/. */
const BESIDE = ['data-schemas', 'synthetic'];
/** The areas of the package (package.json#exports), and the programs that are started by name. */
const LOADED_BY_NAME = [/^(?:\w+\/)?index\.ts$/, /^cli\/main\.ts$/, /^notebook\/(?:child|loader-hooks)\.ts$/];
/** What draws a run of a notebook. By itself it is a tenth of what it would have to load together with the others. */
const ALONE = 'notebook/write-run.ts';
/** A build that was not made today is taken away when the next is made; a younger one may be in use. */
const KEPT_MS = 24 * 60 * 60 * 1000;
/**
 * Packages of hundreds of small files, whose looking up costs more than their work. What a notebook may import too, and hand
 * to this package, is not among them: there would be two of it.
 */
const TAKEN_IN = /^(?:@stdlib\/|ajv(?:-formats)?(?:\/|$)|commander$)/;
/** What CommonJS taken into a module may ask for by `require`. */
const REQUIRE =
  "import { createRequire as $createRequire } from 'node:module'; const require = $createRequire(import.meta.url);";
const MAY_NOT_WRITE = new Set(['EACCES', 'EPERM', 'EROFS', 'ENOSPC']);

/**
 * Builds the sources, or finds them built: they are kept beside the installed packages under the SHA-256 of all that they
 * were made from.
 *
 * @returns {Promise<string | null>} the folder in which each area of the package has a folder; null where none can be
 *   written, or where a source has a fault, which then comes to light where that source is loaded
 */
export async function buildSources() {
  const sources = readSources(join(ROOT, 'src'));
  const kept = join(ROOT, 'node_modules', '.cache', 'proving-range');
  const home = join(kept, keyOf(sources));
  const built = join(home, 'src');
  if (await isThere(built)) return built;
  /** @type {string | null} */
  let scratch = null;
  try {
    await mkdir(kept, { recursive: true });
    scratch = await mkdtemp(`${home}.`);
    await bundle(sources, join(scratch, 'src'), built);
    for (const name of BESIDE) await symlink(join(ROOT, name), join(scratch, name), 'junction');
    await copyFile(join(ROOT, 'package.json'), join(scratch, 'package.json'));
    await rename(scratch, home);
  } catch (error) {
    if (scratch !== null) await rm(scratch, { recursive: true, force: true });
    // Another process may have made the same meanwhile.
    if (await isThere(built)) return built;
    const { code, errors } = /** @type {{ code?: string, errors?: unknown }} */ (error);
    if (MAY_NOT_WRITE.has(code ?? '') || Array.isArray(errors)) return null;
    throw error;
  }
  await removeOld(kept, home);
  return built;
}

/**
 * The text of every source by its POSIX path below src/, in order.
 *
 * @param {string} folder
 * @returns {ReadonlyMap<string, string>}
 */
function readSources(folder) {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.ts'));
  return new Map(
    files.sort().map((file) => [file.split(sep).join('/'), readFileSync(join(folder, file), 'utf8')]),
  );
}

/** @param {ReadonlyMap<string, string>} sources */
function keyOf(sources) {
  const key = createHash('sha256').update(readFileSync(fileURLToPath(import.meta.url)));
  key.update(readFileSync(join(ROOT, 'package.json')));
  for (const [file, text] of sources) key.update(`\n${file} ${text.length}\n`).update(text);
  return key.digest('hex').slice(0, 32);
}

/**
 * @param {ReadonlyMap<string, string>} sources
 * @param {string} outdir
 * @param {string} built where it will stand in the end
 */
async function bundle(sources, outdir, built) {
  const { build } = await import('esbuild');
  /** @satisfies {import('esbuild').BuildOptions} */
  const common = {
    absWorkingDir: ROOT,
    outbase: 'src',
    outdir,
    bundle: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    logLevel: 'silent',
    banner: { js: REQUIRE },
    plugins: [ownUrls(sources, built), packagesLeftOut],
  };
  const entryPoints = entries(sources).map((file) => `src/${file}`);
  await Promise.all([
    build({ ...common, entryPoints, splitting: true, chunkNames: 'shared/[hash]' }),
    build({ ...common, entryPoints: [`src/${ALONE}`] }),
  ]);
}

/**
 * What is loaded by name, the programs of threads among it.
 *
 * @param {ReadonlyMap<string, string>} sources
 */
function entries(sources) {
  const threads = [...sources].flatMap(([file, text]) =>
    [...text.matchAll(/startWorker\(import\.meta\.url, '([^']+)'/g)].map(([, name]) =>
      posix.join(posix.dirname(file), `${name}.ts`),
    ),
  );
  const named = [...sources.keys()].filter((file) => LOADED_BY_NAME.some((pattern) => pattern.test(file)));
  // The example in the docstring of startWorker names a program that is not beside it.
  return [...named, ...threads.filter((file) => sources.has(file))];
}

/**
 * A module that looks for what lies beside it finds it, although it was put into one file with others.
 *
 * @param {ReadonlyMap<string, string>} sources
 * @param {string} built
 * @returns {import('esbuild').Plugin}
 */
function ownUrls(sources, built) {
  const asking = [...sources.keys()].filter((file) => sources.get(file)?.includes('import.meta.url'));
  const endings = asking.map((file) => file.replaceAll('.', '\\.').replaceAll('/', '[\\\\/]')).join('|');
  return {
    name: 'own-urls',
    setup({ onLoad }) {
      onLoad({ filter: new RegExp(`[\\\\/](?:${endings})$`) }, ({ path }) => {
        const file = relative(join(ROOT, 'src'), path).split(sep).join('/');
        const text = sources.get(file);
        if (text === undefined) return null;
        const { href } = pathToFileURL(join(built, file.replace(/\.ts$/, '.js')));
        return { contents: text.replaceAll('import.meta.url', JSON.stringify(href)), loader: 'ts' };
      });
    },
  };
}

/**
 * Installed packages stay where they are, and one that turns out not to be used is not loaded; but those of many small files
 * are taken in.
 *
 * @type {import('esbuild').Plugin}
 */
const packagesLeftOut = {
  name: 'packages-left-out',
  setup({ onResolve }) {
    onResolve({ filter: /^[^./]/ }, ({ path, kind, importer }) => {
      if (kind === 'entry-point') return null;
      const inPackage = /[\\/]node_modules[\\/]/.test(importer);
      if (!isBuiltin(path) && (inPackage || TAKEN_IN.test(path))) return null;
      return { path, external: true, sideEffects: false };
    });
  },
};

/**
 * @param {string} kept
 * @param {string} home
 */
async function removeOld(kept, home) {
  for (const name of await readdir(kept)) {
    const folder = join(kept, name);
    const age_ms = Date.now() - ((await stat(folder).catch(() => null))?.mtimeMs ?? Date.now());
    if (folder !== home && age_ms > KEPT_MS) await rm(folder, { recursive: true, force: true });
  }
}

/** @param {string} path */
async function isThere(path) {
  return (await stat(path).catch(() => null)) !== null;
}
