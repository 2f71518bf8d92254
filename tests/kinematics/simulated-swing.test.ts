import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { simulatedSwing } from './make-simulated-swing.ts';

it('the simulated swing that is committed is, byte for byte, what its script makes', () => {
  for (const [name, content] of Object.entries(simulatedSwing())) {
    const committed = readFileSync(new URL(`../../synthetic/swing/simulated/${name}`, import.meta.url));
    expect(Buffer.compare(committed, Buffer.from(content))).toBe(0);
    expect(committed.length).toBeLessThan(200_000);
  }
});
