import type { LoadHook, ResolveHook } from 'node:module';

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
    const found = await next(specifier, context);
    // A .ts file beside a notebook is a module, also where no package.json stands above it to say so.
    const module = found.url.endsWith('.ts') && !found.url.includes('/node_modules/');
    return module ? { ...found, format: 'module' } : found;
  } catch (error) {
    if (!isBare(specifier)) throw error;
    try {
      return await next(specifier, { ...context, parentURL: import.meta.url });
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
  return next(url, context);
};

function isBare(specifier: string): boolean {
  return /^(?:@[^/:]+\/)?[^./:][^:]*$/.test(specifier);
}
