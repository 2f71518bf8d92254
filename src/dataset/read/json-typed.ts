import { type ParseError, parse, printParseErrorCode } from 'jsonc-parser';

/** A JSON document that a person typed, or the place where it stops being one, in words. */
export type TypedJson =
  | { readonly ok: true; readonly value: unknown }
  | { readonly ok: false; readonly found: string };

const WORDS: Readonly<Record<string, string>> = {
  PropertyNameExpected: 'a name in double quotes was expected',
  ValueExpected: 'a value was expected',
  ColonExpected: 'a colon was expected',
  CommaExpected: 'a comma was expected',
  CloseBraceExpected: 'a closing brace } was expected',
  CloseBracketExpected: 'a closing bracket ] was expected',
  EndOfFileExpected: 'the end of the file was expected',
  InvalidCommentToken: 'a comment, which JSON does not have',
  UnexpectedEndOfString: 'a text without its closing quote',
  InvalidEscapeCharacter: 'a backslash that means nothing here (a backslash itself is typed twice)',
  InvalidCharacter: 'a line break or control character inside a text',
};
const NEAR = 20;

/**
 * Reads JSON that a person wrote. Where it is none, `found` names line and column (both from 1) of the first place that is
 * wrong, what was expected there and what stands there: the parser of the language names neither line nor, often, a place.
 *
 * @example
 * const read = readTypedJson(new TextEncoder().encode('{\n  "seed": 1\n  "level": 0.9\n}'));
 * read.ok ? '' : read.found // 'text that is not JSON: line 3, column 3: a comma was expected, at "level": 0.9'
 */
export function readTypedJson(bytes: Uint8Array): TypedJson {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return { ok: false, found: 'bytes that are not text in UTF-8' };
  }
  try {
    return { ok: true, value: JSON.parse(text) };
  } catch {
    return { ok: false, found: `text that is not JSON: ${firstFault(text)}` };
  }
}

function firstFault(text: string): string {
  if (text.trim() === '') return 'the file is empty';
  const errors: ParseError[] = [];
  parse(text, errors, { disallowComments: true, allowTrailingComma: false });
  const first = errors[0];
  if (first === undefined) return 'it cannot be read';
  const before = text.slice(0, first.offset).split(/\r\n|\r|\n/);
  const place = `line ${before.length}, column ${before.at(-1)!.length + 1}`;
  const rest = text
    .slice(first.offset)
    .split(/[\r\n]/, 1)[0]!
    .trimEnd();
  const near = rest === '' ? 'the end of the line' : rest.length > NEAR ? `${rest.slice(0, NEAR)} ...` : rest;
  return `${place}: ${WORDS[printParseErrorCode(first.error)] ?? 'what stands there is no JSON (texts stand in straight double quotes)'}, at ${near}`;
}
