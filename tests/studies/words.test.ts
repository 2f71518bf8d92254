import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  controlGroupWords,
  controlWords,
  drillWords,
} from '../../src/studies/drill-trial/wording/arm-words.ts';
import {
  amount,
  count,
  decimalsToShow,
  difference,
  directionWords,
  figure,
  intervalOfDifference,
  list,
  percent,
} from '../../src/studies/shared/words.ts';

const lean = { column: 'shaft_lean_impact_deg', unit: 'deg', decimals: 1, level: 0.95 };
const speed = { column: 'club_speed_mps', unit: 'm/s', decimals: 2, level: 0.9 };

describe('numbers in words', () => {
  it('write a real minus sign, and none before zero', () => {
    expect(figure(-1.25, 1)).toBe('\u22121.3');
    expect(figure(-0.04, 1)).toBe('0.0');
    expect(figure(2, 0)).toBe('2');
  });
  it.each([
    ['deg', '1.5 deg'],
    ['%', '1.5 percentage points'],
    ['ratio', '1.5'],
    ['rating 1 to 5', '1.5 rating points'],
  ])('carry the unit %s as %s', (unit, words) => {
    expect(amount(1.5, unit, 1)).toBe(words);
  });
  it('name the direction of the metric', () => {
    expect(directionWords('shaft_lean_impact_deg', 1)).toBe('further forward');
    expect(directionWords('shaft_lean_impact_deg', -1)).toBe('further back');
    expect(directionWords('club_speed_mps', -1)).toBe('lower');
    expect(directionWords('release_onset_ms', 1)).toBe('earlier');
  });
  it('say a difference without a sign', () => {
    expect(difference(-2.06, lean)).toBe('2.1 deg further back');
    expect(difference(0.349, speed)).toBe('0.35 m/s higher');
    expect(difference(0.04, lean)).toBe('about the same');
    expect(difference(-0.034, { ...lean, column: 'ground_first', unit: 'yes/no', decimals: 2 })).toBe(
      '3 percentage points lower',
    );
  });
  it('say an interval on one side plainly, and one across zero with both directions', () => {
    expect(intervalOfDifference([1.23, 3.04], lean)).toBe('95% interval 1.2 to 3.0 deg');
    expect(intervalOfDifference([-3.04, -1.23], lean)).toBe('95% interval 1.2 to 3.0 deg');
    expect(intervalOfDifference([-0.4, 1.9], speed)).toBe(
      '90% interval from 0.40 m/s lower to 1.90 m/s higher',
    );
  });
  it('speak of people, shares and lists', () => {
    expect(count(1, 'golfer')).toBe('1 golfer');
    expect(count(12, 'golfer')).toBe('12 golfers');
    expect(list([])).toBe('');
    expect(list(['a'])).toBe('a');
    expect(list(['a', 'b', 'c'])).toBe('a, b and c');
    expect(percent(0.975, 1)).toBe('97.5%');
    expect(percent(0.95, 1)).toBe('95%');
    expect(percent(1 / 3)).toBe('33%');
  });
  it('speak of arms', () => {
    expect(controlWords('control')).toBe('the control');
    expect(controlWords('usual practice')).toBe('usual practice');
    expect(controlWords('usual coaching')).toBe('usual coaching');
    expect(controlWords('band B')).toBe("'band B'");
    expect(controlGroupWords('control')).toBe('the control group');
    expect(controlGroupWords('usual practice')).toBe('golfers on usual practice');
    expect(controlGroupWords('band B')).toBe("the golfers in 'band B'");
    expect(drillWords('towel', ['towel'])).toBe('the drill');
    expect(drillWords('towel', ['towel', 'board'])).toBe("'towel'");
  });
});

describe('decimals', () => {
  it('follow the width of the interval, and never fall below those of the metric', () => {
    expect(decimalsToShow([1.2, 3], 0.5, 1)).toBe(1);
    expect(decimalsToShow([1.2, 1.26], 0.5, 1)).toBe(2);
    expect(decimalsToShow(null, 0.5, 1)).toBe(1);
  });
  it('show a limit apart from the smallest change it differs from', () => {
    expect(decimalsToShow([0.83, 3], 0.8, 1)).toBe(2);
    expect(decimalsToShow([0.8, 3], 0.8, 1)).toBe(1);
  });
  it('keep what is shown in the order of what is', () => {
    const number = fc.double({ min: -20, max: 20, noNaN: true });
    fc.assert(
      fc.property(
        number,
        fc.double({ min: 0.05, max: 10, noNaN: true }),
        fc.double({ min: 0.05, max: 5, noNaN: true }),
        (low, width, smallest) => {
          const interval = [low, low + width] as const;
          const decimals = decimalsToShow(interval, smallest, 1);
          for (const end of interval) {
            const shown = Number(end.toFixed(decimals));
            const limit = Number(smallest.toFixed(decimals));
            if (end >= smallest) expect(shown).toBeGreaterThanOrEqual(limit);
            else expect(shown).toBeLessThanOrEqual(limit);
          }
        },
      ),
    );
  });
});
