import type { Model } from '../contract.ts';

/** What a column is used as. */
export type Role = 'number' | 'text' | 'number or factor';

export interface NamedColumn {
  readonly column: string;
  /** JSON path of the place in the model that names it. */
  readonly where: string;
  readonly role: Role;
}

/** Every column a model names, with where it is named and what it is used as. */
export function columnsNamed(model: Model): NamedColumn[] {
  const named: NamedColumn[] = [];
  const add = (column: string, where: string, role: Role) => named.push({ column, where, role });
  add(model.outcome, '/outcome', 'number');
  if (model.weights !== undefined) add(model.weights, '/weights', 'number');
  if (model.trials !== undefined) add(model.trials, '/trials', 'number');
  if (model.offset !== undefined) add(model.offset, '/offset', 'number');
  const robust = model.inference?.robust;
  if (robust?.kind === 'cr2') add(robust.group, '/inference/robust/group', 'text');
  for (const [column, sd] of Object.entries(model.errorSd ?? {}))
    if (typeof sd === 'string') add(sd, `/errorSd/${column}`, 'number');
  const { variance = 'constant', correlation = 'none' } = model.residual ?? {};
  if (variance !== 'constant' && 'by' in variance) add(variance.by, '/residual/variance/by', 'text');
  if (correlation !== 'none') {
    add(correlation.group, '/residual/correlation/group', 'text');
    add(correlation.order, '/residual/correlation/order', 'number');
  }
  model.fixed.forEach((term, t) => {
    const where = `/fixed/${t}`;
    if (term === 'intercept') return;
    if ('product' in term) {
      term.product.forEach((column, c) => {
        add(column, `${where}/product/${c}`, 'number or factor');
      });
      return;
    }
    if ('within' in term) add(term.within, `${where}/within`, 'text');
    if ('between' in term) add(term.between, `${where}/between`, 'text');
    const plain = !('within' in term || 'between' in term || 'power' in term || 'spline' in term);
    add(term.column, `${where}/column`, plain ? 'number or factor' : 'number');
  });
  (model.random ?? []).forEach((term, t) => {
    const where = `/random/${t}`;
    if (typeof term.group === 'string') add(term.group, `${where}/group`, 'text');
    else
      term.group.forEach((column, c) => {
        add(column, `${where}/group/${c}`, 'text');
      });
    term.effects.forEach((effect, e) => {
      if (effect === 'intercept') return;
      const at = `${where}/effects/${e}`;
      if (typeof effect === 'string') add(effect, at, 'number or factor');
      else if ('product' in effect)
        effect.product.forEach((column, c) => {
          add(column, `${at}/product/${c}`, 'number or factor');
        });
      else add(effect.column, `${at}/column`, 'text');
    });
  });
  return named;
}
