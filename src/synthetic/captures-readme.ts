import type { CaptureSettings } from './captures/index.ts';
import type { Recipe } from './recipe/recipe.ts';

/** The README.md of a folder of simulated captures: what is in it, what was planted, what is drawn and not simulated. */
export function capturesReadme(
  recipe: Recipe,
  seed: number,
  settings: CaptureSettings,
  captures: number,
): string {
  const { rateHz, noise_mm, gaps, swaps, wobble_mm } = settings;
  return `# Simulated captures

**Nobody was captured.** Each of the ${captures} files here is the movement of a simulated body: trunk, lead arm and club by the equations
of a driven chain in an inclined plane, the trail arm by the loop that it closes (recipe \`${recipe.name}\`, seed ${seed}).

- \`ID.c3d\`: 18 markers at ${rateHz} Hz, with ${noise_mm} mm of noise in each coordinate, a gap in every ${(1 / gaps.mean).toFixed(0)} captures on average and
  exchanged labels in one of ${Math.round(1 / swaps.share)}. Skin slides by ${wobble_mm} mm.
- \`ID.truth.json\`: the true instants and metrics of the model, not of the markers, and the frames of each gap and exchange.
- \`layout-right.json\`, \`layout-left.json\`: which channel is which landmark, for either hand. \`manifest.csv\`: which swing each file is.
- The tables of golfers and sessions, so that measuring this folder makes a whole dataset:

      npm run --silent cli -- measure --captures FOLDER/captures --layout FOLDER/captures/layout-right.json --out MEASURED

Only full swings have a capture: those of the drill task are full ones scaled down, which no body swung. Address, backswing and what comes
after impact are drawn, not simulated. The club is drawn leaving the top more briskly than in the mechanics, where it hangs nearly still under
its own weight for some hundredths of a second; so the top is later here than in swings.csv by about as much, and what hangs on it
(downswing_ms, release_timing_pct, elbow_extension_onset_ms, lag_top_deg, and by about a degree the elbow at the top) has the value in
\`ID.truth.json\`. From shortly after the top to impact both are the same movement.
`;
}
