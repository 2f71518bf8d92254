/**
 * A name as SQL: in double quotes, those inside it doubled (ISO/IEC 9075-2, delimited identifier).
 * @example sqlName('a"b') // '"a""b"'
 */
export function sqlName(name: string): string {
  return `"${withoutNul('name', name).replaceAll('"', '""')}"`;
}

/** A text as SQL: in single quotes, those inside it doubled. */
export function sqlText(text: string): string {
  return `'${withoutNul('text', text).replaceAll("'", "''")}'`;
}

/**
 * A table's name, perhaps with that of its schema and database before it, parted by dots.
 * @example sqlTable('club.swings') // '"club"."swings"'
 */
export function sqlTable(name: string): string {
  return name.split('.').map(sqlName).join('.');
}

/** A finite number with all its digits; the exponent makes it a floating-point number on every engine. */
export function sqlNumber(value: number): string {
  if (!Number.isFinite(value))
    throw new Error(`sqlNumber: ${value} has no spelling in SQL; hand in a finite number`);
  return value.toExponential();
}

/** Engines end a text at a NUL, so that what follows it would be read as something else. */
function withoutNul(what: string, text: string): string {
  if (text.includes('\0')) throw new Error(`sql: a ${what} with a NUL character; rename it`);
  return text;
}
