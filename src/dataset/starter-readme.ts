import { TABLE_NAMES } from './generated/rows.ts';
import { REQUIRED_TABLES, tableSchema } from './schema.ts';

/** The note in a starter folder: what goes where, in what order, and what to mind. */
export function starterReadme(): string {
  const tables = TABLE_NAMES.map((name) => {
    const needed = REQUIRED_TABLES.includes(name)
      ? 'needed'
      : name === 'assignments'
        ? 'needed to test a drill'
        : 'if you have it';
    return `| ${name}.csv | ${tableSchema(name).description.split('. ')[0]?.replace(/\.$/, '')} | ${needed} |`;
  });
  return `# Your swing data

Open **dictionary.html** in a browser: it says what every column means, in which unit and with which
sign, with an example row for each table.

| file | holds | |
|---|---|---|
${tables.join('\n')}

1. Write one row for each golfer in golfers.csv. Use a code such as G01, never a name, and keep the list
   of names somewhere else.
2. Write one row for each visit in sessions.csv, and one for each swing in swings.csv. Columns you do not
   have may be taken away; optional tables may be deleted.
3. To test a drill, write who is in which arm in assignments.csv, before the training starts.
4. Run \`check\` on this folder. It lists everything that looks wrong, with the line and what to do, and
   changes nothing.

## How to write things

- A missing value is an empty cell: not 0, not -999, not "n/a".
- Decimals have a point: 12.5. Columns are separated by commas.
- Dates are year-month-day: 2026-03-04. Format date columns as text, or a spreadsheet may change them.
- An id is the same everywhere, letter for letter: G01 and g01 are two golfers.
- The unit is in the name of the column: \`_deg\` degrees, \`_ms\` milliseconds, \`_dps\` degrees a second,
  \`_mps\` metres a second, \`_cm\` centimetres, \`_mm\` millimetres, \`_pct\` per cent.
- In datapackage.json each table and its columns are described for other programs. You need not change
  it; take it away if you rename columns by hand and another program complains.

## Before you measure anybody

Measuring people needs their consent, and a guardian's for a minor. Write down what each golfer agreed to
(consent_scope) and when (consent_date), and follow your local rules on data protection and research.
A golfer may ask for the data to be removed. Stop at pain.
`;
}
