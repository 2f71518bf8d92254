/** Text that something may run, obey or turn: one list for every command. */

/** Ids that the schema admits: no control character, none that cannot be seen, at most 100 letters. */
export const hostileIds = [
  '<b>G01</b>',
  '"><script>window.owned=1</script>',
  '=HYPERLINK("http://x.invalid","y")',
  '+1+1',
  '@SUM(A1)',
  '../x',
  'con',
  'a/b',
  'שלום 12',
  '__proto__',
  'turned 56 deg',
  "'=1",
  'W'.repeat(100),
  '＝1+1',
] as const;
/** The name of an arm. */
export const drill = '=1+1 drill 7 deg';
/** What a terminal obeys. */
export const ESCAPE = '\u001b[31mred\u202e';

// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what this looks for
export const obeyed = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e]/;
