import { readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';
import { declarationText } from './declaration-text.ts';
import { type Docstring, readDocstring } from './docstring.ts';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));

/** One public name of the library. */
export interface PublicExport {
  /** The subpath of the package, such as `stats`. */
  readonly area: string;
  readonly name: string;
  readonly kind: 'function' | 'interface' | 'type' | 'constant' | 'class';
  /** POSIX path of its file from the root of the project. */
  readonly file: string;
  /** Its declaration without the body, as TypeScript. */
  readonly declaration: string;
  /** Null where it has none. */
  readonly docstring: Docstring | null;
}

/** The subpaths that package.json offers, in its order. */
export function areas(): string[] {
  const { exports } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as {
    readonly exports: Readonly<Record<string, string>>;
  };
  return Object.keys(exports)
    .filter((subpath) => subpath !== '.')
    .map((subpath) => subpath.slice('./'.length));
}

/**
 * Every public name of every subpath, read by the TypeScript compiler: which names an index.ts offers is a question of the
 * language (re-exports of re-exports), and so are the types that a declaration leaves to be inferred. The compiler is here
 * already; a generator of documentation would bring a theme, a search and a navigation of its own, which we do not want.
 */
export function readExports(): PublicExport[] {
  const names = areas();
  const files = names.map((area) => join(ROOT, 'src', area, 'index.ts'));
  const { config } = ts.readConfigFile(join(ROOT, 'tsconfig.json'), ts.sys.readFile);
  const { options } = ts.parseJsonConfigFileContent(config, { ...ts.sys, readDirectory: () => [] }, ROOT);
  const program = ts.createProgram(files, options);
  const checker = program.getTypeChecker();
  return names.flatMap((area, k) => {
    const module = checker.getSymbolAtLocation(program.getSourceFile(files[k]!)!)!;
    return checker.getExportsOfModule(module).map((symbol) => publicExport(checker, area, symbol));
  });
}

function publicExport(checker: ts.TypeChecker, area: string, symbol: ts.Symbol): PublicExport {
  const goal = symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
  const node = goal.declarations?.[0];
  if (node === undefined)
    throw new Error(`readExports: ${area} offers ${symbol.name}, which is declared nowhere`);
  return {
    area,
    name: symbol.name,
    kind: kindOf(node),
    file: relative(ROOT, node.getSourceFile().fileName).split(sep).join('/'),
    declaration: declarationText(checker, node, symbol.name),
    docstring: readDocstring(node),
  };
}

function kindOf(node: ts.Declaration): PublicExport['kind'] {
  if (ts.isFunctionDeclaration(node)) return 'function';
  if (ts.isInterfaceDeclaration(node)) return 'interface';
  if (ts.isTypeAliasDeclaration(node)) return 'type';
  if (ts.isClassDeclaration(node)) return 'class';
  if (ts.isVariableDeclaration(node)) return 'constant';
  throw new Error(`readExports: a ${ts.SyntaxKind[node.kind]} is exported; say in kindOf what to call it`);
}
