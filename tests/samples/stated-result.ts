import ts from 'typescript';

/**
 * Compares a value with the result that a comment states: a literal of the language, after which words may follow a
 * comma, a colon, a semicolon or in brackets. `...` stands for elements and keys that are not shown, and ends a text
 * that goes on. Numbers agree to the digits printed; with fewer than three digits they agree exactly.
 *
 * @returns null where they agree, or what differs
 */
export function differenceFrom(stated: string, actual: unknown): string | null {
  const literal = statedLiteral(stated);
  if (literal === null) return `"${stated}" begins with no value`;
  return difference(literal, actual, 'the value');
}

function statedLiteral(stated: string): ts.Expression | null {
  const text = stated.replaceAll(/([[{,]\s*)\.\.\.(?=\s*[\]},])/g, '$1...HIDDEN').trim();
  const ends = [...text.matchAll(/[,:;]\s|\s\(/g)].map(({ index }) => index).reverse();
  for (const end of [text.length, ...ends]) {
    const literal = asLiteral(text.slice(0, end));
    if (literal !== null) return literal;
  }
  return null;
}

function asLiteral(text: string): ts.Expression | null {
  const file = ts.createSourceFile('stated.ts', `(${text}\n)`, ts.ScriptTarget.ES2023, true);
  const { parseDiagnostics } = file as unknown as { readonly parseDiagnostics: readonly unknown[] };
  const [statement, more] = file.statements;
  if (parseDiagnostics.length > 0 || more !== undefined || !ts.isExpressionStatement(statement!)) return null;
  const expression = (statement.expression as ts.ParenthesizedExpression).expression;
  return isLiteral(expression) ? expression : null;
}

const NAMED: Readonly<Record<string, unknown>> = {
  undefined,
  null: null,
  true: true,
  false: false,
  NaN: Number.NaN,
  Infinity: Number.POSITIVE_INFINITY,
};

function isLiteral(node: ts.Node): boolean {
  if (ts.isArrayLiteralExpression(node))
    return node.elements.every((part) => isHidden(part) || isLiteral(part));
  if (ts.isObjectLiteralExpression(node))
    return node.properties.every(
      (part) => isHidden(part) || (ts.isPropertyAssignment(part) && isLiteral(part.initializer)),
    );
  if (ts.isBinaryExpression(node)) return isNumber(node.left) && isNumber(node.right);
  return isNumber(node) || ts.isStringLiteralLike(node) || node.getText() in NAMED;
}

const isHidden = (node: ts.Node): boolean => node.getText() === '...HIDDEN';
const isNumber = (node: ts.Node): boolean =>
  ts.isNumericLiteral(node) ||
  (ts.isPrefixUnaryExpression(node) && isNumber(node.operand)) ||
  node.getText() === 'Infinity';

function difference(stated: ts.Node, actual: unknown, where: string): string | null {
  if (ts.isArrayLiteralExpression(stated)) return inArray(stated, actual, where);
  if (ts.isObjectLiteralExpression(stated)) return inObject(stated, actual, where);
  if (ts.isBinaryExpression(stated)) {
    const sign = stated.operatorToken.getText();
    const [left, right] = [Number(stated.left.getText()), Number(stated.right.getText())];
    const value = sign === '/' ? left / right : Number.NaN;
    return near(actual, value, 1e-9) ? null : said(where, stated, actual);
  }
  if (isNumber(stated)) return agrees(stated.getText(), actual) ? null : said(where, stated, actual);
  if (ts.isStringLiteralLike(stated)) {
    const start = /^([\s\S]*)(?:…|\.\.\.)$/.exec(stated.text)?.[1];
    const same =
      start === undefined ? actual === stated.text : typeof actual === 'string' && actual.startsWith(start);
    return same ? null : said(where, stated, actual);
  }
  return Object.is(actual, NAMED[stated.getText()]) ? null : said(where, stated, actual);
}

function inArray(stated: ts.ArrayLiteralExpression, actual: unknown, where: string): string | null {
  const values = Array.isArray(actual)
    ? actual
    : ArrayBuffer.isView(actual)
      ? Array.from(actual as Float64Array)
      : null;
  if (values === null) return said(where, stated, actual);
  const shown = stated.elements.filter((part) => !isHidden(part));
  const whole = shown.length === stated.elements.length;
  if (whole ? values.length !== shown.length : values.length <= shown.length)
    return said(where, stated, actual);
  for (const [index, part] of shown.entries()) {
    const found = difference(part, values[index], `${where}[${index}]`);
    if (found !== null) return found;
  }
  return null;
}

function inObject(stated: ts.ObjectLiteralExpression, actual: unknown, where: string): string | null {
  if (typeof actual !== 'object' || actual === null || Array.isArray(actual))
    return said(where, stated, actual);
  const shown = stated.properties.filter((part) => ts.isPropertyAssignment(part));
  const keys = shown.map(({ name }) => (ts.isStringLiteral(name) ? name.text : name.getText()));
  const whole = shown.length === stated.properties.length;
  const given = actual as Readonly<Record<string, unknown>>;
  if (whole && Object.keys(given).some((key) => given[key] !== undefined && !keys.includes(key)))
    return said(where, stated, actual);
  for (const [index, key] of keys.entries()) {
    if (!(key in given)) return `${where} has no ${key}, it has ${Object.keys(given).join(', ')}`;
    const found = difference(shown[index]!.initializer, given[key], `${where}.${key}`);
    if (found !== null) return found;
  }
  return null;
}

function agrees(text: string, actual: unknown): boolean {
  const value = Number(text.replaceAll('_', ''));
  const [mantissa, exponent = '0'] = text.toLowerCase().replace(/^-/, '').split('e');
  const digits = mantissa!.replace('.', '').replace(/^0+/, '').length;
  if (!mantissa!.includes('.') || digits < 3) return near(actual, value, 1e-9);
  const lastPlace = 10 ** (Number(exponent) - mantissa!.split('.')[1]!.length);
  return (
    typeof actual === 'number' && Math.abs(actual - value) <= 0.5 * lastPlace * (1 + 1e-6) + Number.EPSILON
  );
}

function near(actual: unknown, value: number, share: number): boolean {
  if (typeof actual !== 'number') return false;
  return actual === value || Math.abs(actual - value) <= share * Math.max(1, Math.abs(value));
}

function said(where: string, stated: ts.Node, actual: unknown): string {
  return `${where} is ${printed(actual)}, not ${stated.getText()}`;
}

function printed(value: unknown): string {
  const text = ArrayBuffer.isView(value)
    ? `[${Array.from(value as Float64Array).join(', ')}]`
    : typeof value === 'string'
      ? JSON.stringify(value)
      : typeof value === 'object' && value !== null
        ? JSON.stringify(value, (_, part) =>
            ArrayBuffer.isView(part) ? Array.from(part as Float64Array) : part,
          )
        : String(value);
  return text.length > 600 ? `${text.slice(0, 600)} (and on)` : text;
}
