/**
 * How a text begins that a spreadsheet would run: the signs of OWASP's "CSV Injection" page, in their full-width form
 * too, also after blanks and invisible signs, which some programs take off. A line end within begins a new cell for a
 * program that reads line by line. Quote marks before it are counted in, so that a text that had one of its own gets one
 * more, and taking one away always gives the text back.
 */
const FORMULA = /^'*(?:(?:|.*[\t\r\n])[\s\p{Cf}]*[=+\-@＝＋－＠]|[\t\r\n])/su;

/**
 * The text as a cell of a table that is for reading: one that a spreadsheet would take for a formula gets one quote mark
 * before it, which `textOfCell` takes away again.
 * @example cellOfText('=1+1') // "'=1+1"
 */
export function cellOfText(text: string): string {
  return FORMULA.test(text) ? `'${text}` : text;
}

/**
 * The text that a cell of our tables stands for, as a CSV reader gives it: the quote mark before what a spreadsheet
 * would have run is taken away.
 * @example textOfCell("'=1+1") // '=1+1'
 */
export function textOfCell(cell: string): string {
  return cell.startsWith("'") && FORMULA.test(cell.slice(1)) ? cell.slice(1) : cell;
}
