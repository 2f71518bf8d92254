import { youngestOf } from './consent.ts';

/** Ways to state an attribute, from the finest; the last says nothing. Each value is the band, as a text. */
export type Ladder<Value> = readonly ((value: Value) => string)[];

const nothing = (): string => '';

/** Age: the band as it was written; from 0, 18, 40 or 60; a minor or an adult. */
export const AGE: Ladder<string | null> = [
  (band) => band ?? '',
  (band) => {
    const years = youngestOf(band);
    if (years === null) return '';
    return years < 18 ? '0-17' : years < 40 ? '18-39' : years < 60 ? '40-59' : '60+';
  },
  (band) => {
    const years = youngestOf(band);
    return years === null ? '' : years < 18 ? '0-17' : '18+';
  },
  nothing,
];

/** Handicap index, to the middle of bands 5, 10 or 20 wide. */
export const HANDICAP: Ladder<number> = [middle(5), middle(10), middle(20), nothing];

/** Height, to the middle of bands 10 or 20 cm wide. */
export const HEIGHT: Ladder<number> = [middle(10), middle(20), nothing];

/** The middle of the band in which a number is; bands begin at multiples of their width. */
function middle(width: number): (value: number) => string {
  return (value) => (Number.isNaN(value) ? '' : String(Math.floor(value / width) * width + width / 2));
}
