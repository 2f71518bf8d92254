/** The resource curves.csv as datapackage.json describes it. */
export const CURVES_RESOURCE = {
  $schema: 'https://datapackage.org/profiles/2.0/dataresource.json',
  name: 'curves',
  type: 'table',
  path: 'curves.csv',
  title: 'Curves over the downswing',
  description: 'One row for each sample of a quantity of a swing, from the top (0 %) to impact (100 %).',
  format: 'csv',
  mediatype: 'text/csv',
  encoding: 'utf-8',
  schema: {
    $schema: 'https://datapackage.org/profiles/2.0/tableschema.json',
    fields: [
      { name: 'swing_id', type: 'string', constraints: { required: true } },
      {
        name: 'quantity',
        type: 'string',
        description: 'The id of the quantity in the catalogue of metrics.',
        constraints: { required: true },
      },
      {
        name: 'time_pct',
        type: 'number',
        description: 'Per cent of the downswing: 0 the top, 100 impact.',
        constraints: { required: true, minimum: 0, maximum: 100 },
      },
      { name: 'value_deg', type: 'number', constraints: { required: true } },
    ],
    missingValues: [''],
    primaryKey: ['swing_id', 'quantity', 'time_pct'],
    foreignKeys: [{ fields: ['swing_id'], reference: { resource: 'swings', fields: ['swing_id'] } }],
  },
} as const;
