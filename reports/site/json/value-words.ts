import { formsOf, hasFields, type JsonSchema } from './schema.ts';

/** What may be written in a place, in words. */
export function valueWords(schema: JsonSchema, root: JsonSchema): string {
  const all = formsOf(schema, root).map((form) => formWords(form, root));
  return [...new Set(all)].join('; or ');
}

function formWords(form: JsonSchema, root: JsonSchema): string {
  if (form.const !== undefined) return JSON.stringify(form.const);
  if (form.enum !== undefined) return `one of: ${form.enum.map((one) => JSON.stringify(one)).join(', ')}`;
  if (form.items !== undefined || form.type === 'array')
    return `a list${countWords(form)}${form.items === undefined ? '' : ` of: ${valueWords(form.items, root)}`}`;
  if (hasFields(form) || form.type === 'object') return 'an object';
  const types = typeof form.type === 'string' ? [form.type] : (form.type ?? []);
  if (types.length === 0) return 'a value';
  return types.map((type) => typeWords(type, form)).join(' or ');
}

function typeWords(type: string, form: JsonSchema): string {
  switch (type) {
    case 'boolean':
      return 'true or false';
    case 'null':
      return 'null';
    case 'integer':
      return `a whole number${limitWords(form)}`;
    case 'number':
      return `a number${limitWords(form)}`;
    case 'string':
      return form.pattern?.startsWith('^[0-9]{4}-') || form.format === 'date'
        ? 'a date, year-month-day'
        : 'a text';
    default:
      return type;
  }
}

function limitWords({ minimum, maximum, exclusiveMinimum, exclusiveMaximum }: JsonSchema): string {
  const low =
    minimum !== undefined
      ? `${minimum} or more`
      : exclusiveMinimum !== undefined
        ? `more than ${exclusiveMinimum}`
        : '';
  const most = maximum === Number.MAX_SAFE_INTEGER ? undefined : maximum;
  const high =
    most !== undefined
      ? `${most} or less`
      : exclusiveMaximum !== undefined
        ? `less than ${exclusiveMaximum}`
        : '';
  const words = [low, high].filter((part) => part !== '').join(' and ');
  return words === '' ? '' : `, ${words}`;
}

function countWords({ minItems, maxItems }: JsonSchema): string {
  if (minItems !== undefined && minItems === maxItems) return ` of ${minItems} values,`;
  if (maxItems !== undefined) return ` (${minItems ?? 0} to ${maxItems})`;
  return minItems !== undefined && minItems > 0 ? ` (${minItems} or more)` : '';
}
