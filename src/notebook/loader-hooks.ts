import { readFile } from 'node:fs/promises';
import type { LoadHook, ResolveHook } from 'node:module';
import { fileURLToPath } from 'node:url';

/** What the loader is told when it starts. */
export interface LoaderOrder {
  readonly url: string;
  readonly code: string;
  readonly imports: readonly { readonly specifier: string }[];
  /** This package's modules by the names others import them under. */
  readonly own: Readonly<Record<string, string>>;
}

/** The query under which a single import of the notebook is tried by itself. */
export const PROBE = '?import=';

let order: LoaderOrder;

export function initialize(given: LoaderOrder): void {
  order = given;
}

/**
 * A notebook imports `proving-range/...` wherever it stands: the very package that runs it is used. Other
 * packages are looked for beside the notebook first, then among those that this package itself uses.
 */
export const resolve: ResolveHook = async (specifier, context, next) => {
  const own = order.own[specifier];
  if (own !== undefined) return next(own, context);
  try {
    return await next(specifier, context);
  } catch (error) {
    const source = typescriptFor(specifier);
    if (source === null && !isBare(specifier)) throw error;
    try {
      return await (source === null
        ? next(specifier, { ...context, parentURL: import.meta.url })
        : next(source, context));
    } catch {
      throw error;
    }
  }
};

/** Gives the notebook's instrumented code for its URL, and one import of it for a probe. */
export const load: LoadHook = async (url, context, next) => {
  if (url === order.url) return { format: 'module', source: order.code, shortCircuit: true };
  if (url.startsWith(order.url + PROBE)) {
    const { specifier } = order.imports[Number(url.slice(order.url.length + PROBE.length))] ?? {
      specifier: 'node:fs',
    };
    return { format: 'module', source: `import ${JSON.stringify(specifier)};`, shortCircuit: true };
  }
  return TYPESCRIPT.test(url) && url.startsWith('file:')
    ? { format: 'module', source: await withoutTypes(url), shortCircuit: true }
    : next(url, context);
};

const TYPESCRIPT = /\.m?ts$/;

/** A module beside a notebook may be named without its ending, or by that of what it would be compiled to. */
function typescriptFor(specifier: string): string | null {
  if (!/^\.{1,2}\//.test(specifier)) return null;
  if (/\.m?js$/.test(specifier)) return specifier.replace(/js$/, 'ts');
  return /\.\w+$/.test(specifier) ? null : `${specifier}.ts`;
}

/** A .ts file beside a notebook is a module, also where no package.json stands above it to say so. */
async function withoutTypes(url: string): Promise<string> {
  const { transform } = await import('esbuild');
  const sourcefile = fileURLToPath(url);
  const { code } = await transform(await readFile(sourcefile, 'utf8'), {
    loader: 'ts',
    format: 'esm',
    target: 'node20',
    sourcefile,
    sourcemap: 'inline',
    sourcesContent: false,
    logLevel: 'silent',
  });
  return code;
}

function isBare(specifier: string): boolean {
  return /^(?:@[^/:]+\/)?[^./:][^:]*$/.test(specifier);
}
