/**
 * Colour arithmetic for the tests, from its sources: contrast ratio as in WCAG 2.2 (relative luminance and
 * success criteria 1.4.3, 1.4.11); colour blindness by the matrices for severity 1.0 of Machado, Oliveira and
 * Fernandes 2009 (IEEE Trans Vis Comput Graph 15:1283-1291), applied in linear RGB; difference as the distance
 * in CIELAB (CIE 1976) under D65.
 */
type Triple = readonly [number, number, number];

function linear(hex: string): Triple {
  return [1, 3, 5].map((at) => {
    const c = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as unknown as Triple;
}

const apply = (m: readonly Triple[], v: Triple): Triple =>
  m.map((row) => row[0] * v[0] + row[1] * v[1] + row[2] * v[2]) as unknown as Triple;

export function contrast(a: string, b: string): number {
  const [x, y] = [a, b].map((hex) => {
    const [r, g, blue] = linear(hex);
    return 0.2126 * r + 0.7152 * g + 0.0722 * blue;
  }) as [number, number];
  return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
}

export const sights: Readonly<Record<string, readonly Triple[]>> = {
  usual: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  'red-blind': [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  'green-blind': [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  'blue-blind': [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

function lab(rgb: Triple): Triple {
  const xyz = apply(
    [
      [0.4124564, 0.3575761, 0.1804375],
      [0.2126729, 0.7151522, 0.072175],
      [0.0193339, 0.119192, 0.9503041],
    ],
    rgb.map((c) => Math.min(1, Math.max(0, c))) as unknown as Triple,
  );
  const f = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);
  const [x, y, z] = [f(xyz[0] / 0.95047), f(xyz[1]), f(xyz[2] / 1.08883)];
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

/** How far apart two colours look, in CIELAB units, to one kind of sight. */
export function apart(a: string, b: string, sight: keyof typeof sights): number {
  const matrix = sights[sight] as readonly Triple[];
  const [p, q] = [a, b].map((hex) => lab(apply(matrix, linear(hex)))) as [Triple, Triple];
  return Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
}
