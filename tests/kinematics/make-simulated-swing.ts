/**
 * Makes synthetic/swing/simulated: the planted swing (planted-swing.ts) as a capture system with noise, other axes and
 * a gap would export it, its layout, and the planted truth. `npx tsx tests/kinematics/make-simulated-swing.ts`
 * writes it again; a test sees to it that the committed files are what this makes.
 */
import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { createStream } from '../../src/numerics/index.ts';
import { plantedMetrics, plantedMoments, plantSwing } from './planted-swing.ts';
import { writeC3d } from './write-c3d.ts';

const FOLDER = fileURLToPath(new URL('../../synthetic/swing/simulated/', import.meta.url));
const RATE_HZ = 240;
const NOISE_MM = 1;
const SEED = 2026;
const FIRST_FRAME = 101;
const START_S = -1.6 + 0.3 / RATE_HZ;
const FRAMES = 528;
/** The trail wrist is hidden for 30 ms during the backswing. */
const HIDDEN = { landmark: 'trail_wrist', from_s: -0.9, to_s: -0.87 };
/** The invented names that the capture's channels go by. */
const CHANNELS: Readonly<Record<string, string>> = {
  lead_shoulder: 'LSH',
  lead_elbow: 'LEL',
  lead_wrist: 'LWR',
  trail_shoulder: 'TSH',
  trail_elbow: 'TEL',
  trail_wrist: 'TWR',
  lead_hip: 'LHP',
  trail_hip: 'THP',
  grip: 'GRP',
  club_head: 'HED',
};

export function simulatedSwing(): Record<'swing.c3d' | 'layout.json' | 'truth.json', Uint8Array | string> {
  const swing = plantSwing();
  const stream = createStream(SEED);
  const seen = (landmark: string, t: number): [number, number, number] | null => {
    const [x, y, z] = swing.position(landmark, t).map((c) => 1000 * c + stream.normal(0, NOISE_MM)) as [
      number,
      number,
      number,
    ];
    if (landmark === HIDDEN.landmark && t > HIDDEN.from_s && t < HIDDEN.to_s) return null;
    // X to the target stays; Z is up and Y points away from the ball line.
    return [x, -z, y];
  };
  const landmarks = swing.landmarks.filter((name) => name in CHANNELS);
  const points = Array.from({ length: FRAMES }, (_, i) =>
    landmarks.map((landmark) => seen(landmark, START_S + i / RATE_HZ)),
  );
  const [x, y, z] = swing.ball;
  const layout = {
    note: 'a simulated swing: nobody was captured, and what is true of it stands in truth.json',
    lengthUnit: 'mm',
    up: '+Z',
    targetLine: { axis: '+X' },
    plays: 'right',
    ball: [1000 * x, -1000 * z, 1000 * y].map((c) => Number(c.toFixed(3))),
    markerNoise_mm: NOISE_MM,
    landmarks: Object.fromEntries(landmarks.map((name) => [name, CHANNELS[name]])),
  };
  const truth = {
    simulated: true,
    note: 'Planted: angles and speeds are those of closed formulas of time, not of the markers. Instants in s from impact, metrics in the units of their names.',
    seed: SEED,
    noise_mm: NOISE_MM,
    instants: { ...plantedMoments, impact: 0 },
    metrics: plantedMetrics(swing),
  };
  return {
    'swing.c3d': writeC3d({
      order: 'Intel',
      encoding: 'float',
      rateHz: RATE_HZ,
      firstFrame: FIRST_FRAME,
      labels: landmarks.map((name) => CHANNELS[name]!),
      unit: 'mm',
      points,
    }),
    'layout.json': jsonText(layout),
    'truth.json': jsonText(truth),
  };
}

const jsonText = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  await mkdir(FOLDER, { recursive: true });
  for (const [name, content] of Object.entries(simulatedSwing()))
    await writeFile(`${FOLDER}${name}`, content);
}
