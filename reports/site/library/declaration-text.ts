import ts from 'typescript';

/** Constants longer than this are shown by their type alone. */
const LONGEST_VALUE = 300;

/** A declaration as a reader needs it: everything but the body, with the comments of its members. */
export function declarationText(checker: ts.TypeChecker, node: ts.Declaration, name: string): string {
  if (ts.isFunctionDeclaration(node)) return overloads(checker, node);
  if (ts.isClassDeclaration(node)) return classText(node);
  if (ts.isVariableDeclaration(node)) return constantText(checker, node, name);
  return bare(node.getText());
}

/** The overloads of a function where it has any, else the function itself. */
function overloads(checker: ts.TypeChecker, node: ts.FunctionDeclaration): string {
  const all = (checker.getSymbolAtLocation(node.name!)?.declarations ?? [node]).filter(
    ts.isFunctionDeclaration,
  );
  const shown = all.length > 1 ? all.filter(({ body }) => body === undefined) : all;
  return shown.map(headOf).join('\n');
}

function headOf(node: ts.FunctionDeclaration): string {
  const text = node.getText();
  const end = node.body === undefined ? text.length : node.body.getStart() - node.getStart();
  return bare(text.slice(0, end));
}

function classText(node: ts.ClassDeclaration): string {
  const head = node
    .getText()
    .slice(0, (node.members[0]?.getFullStart() ?? node.getEnd()) - node.getStart())
    .trimEnd();
  const members = node.members.flatMap((member) => {
    const hidden =
      (member.name !== undefined && ts.isPrivateIdentifier(member.name)) ||
      (ts.canHaveModifiers(member) &&
        (ts.getModifiers(member) ?? []).some(({ kind }) => kind === ts.SyntaxKind.PrivateKeyword));
    if (hidden) return [];
    const body = (ts.isMethodDeclaration(member) || ts.isConstructorDeclaration(member)) && member.body;
    const end = body ? body.getStart() - member.getStart() : undefined;
    const comment = ts.getLeadingCommentRanges(member.getSourceFile().text, member.getFullStart())?.at(-1);
    const words =
      comment === undefined ? '' : `  ${member.getSourceFile().text.slice(comment.pos, comment.end)}\n`;
    return [`${words}  ${member.getText().slice(0, end).trimEnd()}`];
  });
  return bare(`${head}\n${members.join('\n')}\n}`);
}

function constantText(checker: ts.TypeChecker, node: ts.VariableDeclaration, name: string): string {
  const type =
    node.type?.getText() ??
    checker.typeToString(checker.getTypeAtLocation(node), node, ts.TypeFormatFlags.NoTruncation);
  const value = node.initializer?.getText() ?? '';
  const plain =
    /^(?:[-\d._]+|'[^']*'|\[[^[\]{}()]*\](?: as const)?)$/.test(value) && value.length <= LONGEST_VALUE;
  if (plain) return `const ${name}${node.type === undefined ? '' : `: ${type}`} = ${value}`;
  return `const ${name}: ${type.replaceAll(/import\("[^"]*"\)\./g, '')}`;
}

const bare = (text: string): string =>
  text
    .replace(/^export (?:default )?/, '')
    .replace(/^async /, '')
    .trimEnd();
