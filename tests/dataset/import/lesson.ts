export const SWINGS = 12;

/** An invented lesson of one golfer, whose code and swings follow from the number. */
export function lessonOf(number: number): string {
  const rows = Array.from(
    { length: SWINGS },
    (_, index) => `L${number}-${index},2026-03-04,P${number},right,${80 + index / 10 + number / 1000}\n`,
  );
  return `swing id,date,golfer,plays,club speed (mph)\n${rows.join('')}`;
}
