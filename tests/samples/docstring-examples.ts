import { readdirSync, readFileSync } from 'node:fs';
import ts from 'typescript';
import { PROJECT } from './documents.ts';

/** One `@example` of a docstring. */
export interface Example {
  /** File, from the project's folder, and line of the docstring. */
  readonly file: string;
  readonly line: number;
  readonly code: string;
}

/** The examples of every docstring under a folder, as they stand after `@example`. */
export function examplesUnder(folder: string): readonly Example[] {
  return sourcesUnder(folder).flatMap((file) => examplesOf(file, readFileSync(`${PROJECT}${file}`, 'utf8')));
}

/** Source files under a folder, without what is generated. */
export function sourcesUnder(folder: string): readonly string[] {
  return readdirSync(`${PROJECT}${folder}`, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.includes('generated'))
    .map((name) => `${folder}/${name}`)
    .sort();
}

export function examplesOf(file: string, source: string): readonly Example[] {
  return [...source.matchAll(/^[ \t]*\/\*\*[\s\S]*?\*\//gm)].flatMap((comment) => {
    const lines = comment[0]
      .replace(/^[ \t]*\/\*\*/, '')
      .replace(/\*\/$/, '')
      .split('\n')
      .map((line) => line.replace(/^\s*\* ?/, ''));
    const line = source.slice(0, comment.index).split('\n').length;
    return lines
      .join('\n')
      .split(/^(?=@\w)/m)
      .flatMap((tag) => {
        const code = /^@example\b([\s\S]*)$/.exec(tag)?.[1]?.trim();
        return code === undefined ? [] : [{ file, line, code }];
      });
  });
}

/** A statement of an example, with the result its comment states. */
export interface Step {
  readonly code: string;
  readonly isExpression: boolean;
  /** What stands after `//` on its line and in the lines of comment below it. */
  readonly stated: string | null;
}

/** Cuts an example into its statements. Throws where it is not a program. */
export function stepsOf(code: string): readonly Step[] {
  // A value that begins with a brace would be read as a block.
  const file = ts.createSourceFile('example.ts', code, ts.ScriptTarget.ES2023, true);
  const [fault] = ts.transpileModule(code, {
    reportDiagnostics: true,
    compilerOptions: { target: ts.ScriptTarget.ES2023, module: ts.ModuleKind.ESNext },
  }).diagnostics!;
  if (fault !== undefined) throw new Error(ts.flattenDiagnosticMessageText(fault.messageText, '\n'));
  return file.statements
    .filter((statement) => !ts.isImportDeclaration(statement))
    .map((statement) => {
      const after = file.statements.find(({ pos }) => pos >= statement.end);
      const between = code.slice(statement.end, after === undefined ? code.length : after.getStart());
      const comments = between
        .split('\n')
        .map((line) => /^[\s;]*\/\/ ?(.*)$/.exec(line)?.[1])
        .filter((comment) => comment !== undefined);
      return {
        code: statement.getText().replace(/;$/, ''),
        isExpression: ts.isExpressionStatement(statement),
        stated: comments.length === 0 ? null : comments.join('\n'),
      };
    });
}
