/** Writes C3D files of every encoding for the tests, from the public description of the format; no code under test. */

export interface WrittenFile {
  readonly order: 'Intel' | 'DEC' | 'SGI';
  readonly encoding: 'integer' | 'float';
  readonly rateHz: number;
  readonly firstFrame?: number;
  readonly labels: readonly string[];
  readonly unit?: string;
  /** Scale of integer data; its negative is stored for float data. */
  readonly scale?: number;
  /** frames x points x 3; null where the point was not seen. */
  readonly points: readonly (readonly (readonly [number, number, number] | null)[])[];
  readonly residual?: number;
  /** frames x (channels x samples a frame), raw values. */
  readonly analog?: {
    readonly channels: number;
    readonly samplesPerFrame: number;
    readonly values: readonly (readonly number[])[];
    readonly scale?: number;
    readonly offset?: number;
  };
  readonly headerEvents?: readonly { readonly label: string; readonly time_s: number }[];
  readonly groupEvents?: readonly {
    readonly label: string;
    readonly context: string;
    readonly time_s: number;
  }[];
  /** Blocks of nothing before the parameters and before the data. */
  readonly blocksBeforeParameters?: number;
  readonly blocksBeforeData?: number;
}

const BLOCK = 512;
const PROCESSOR = { Intel: 84, DEC: 85, SGI: 86 } as const;
const MOST_LABELS = 255;

type Parameter =
  | { readonly name: string; readonly texts: readonly string[] }
  | { readonly name: string; readonly int16: readonly number[]; readonly dimensions?: readonly number[] }
  | { readonly name: string; readonly float: readonly number[]; readonly dimensions?: readonly number[] };

class Bytes {
  readonly data: number[] = [];
  private readonly order: WrittenFile['order'];
  constructor(order: WrittenFile['order']) {
    this.order = order;
  }
  byte(value: number): this {
    this.data.push(value & 0xff);
    return this;
  }
  int16(value: number): this {
    const [low, high] = [value & 0xff, (value >> 8) & 0xff];
    return this.order === 'SGI' ? this.byte(high).byte(low) : this.byte(low).byte(high);
  }
  float(value: number): this {
    const view = new DataView(new ArrayBuffer(4));
    if (this.order === 'DEC') {
      // F_floating: a quarter of the exponent's bias more than IEEE, words exchanged.
      view.setFloat32(0, value * 4);
      const [a, b, c, d] = [0, 1, 2, 3].map((i) => view.getUint8(i)) as [number, number, number, number];
      this.data.push(b, a, d, c);
      return this;
    }
    view.setFloat32(0, value, this.order === 'Intel');
    for (let i = 0; i < 4; i++) this.byte(view.getUint8(i));
    return this;
  }
  text(value: string, width: number): this {
    for (let i = 0; i < width; i++) this.byte(i < value.length ? value.charCodeAt(i) : 32);
    return this;
  }
  padTo(length: number): this {
    while (this.data.length < length) this.data.push(0);
    return this;
  }
}

export function writeC3d(file: WrittenFile): Uint8Array {
  const { order, points, labels, encoding } = file;
  const scale = file.scale ?? 0.1;
  const stored = encoding === 'float' ? -scale : scale;
  const first = file.firstFrame ?? 1;
  const last = first + points.length - 1;
  const { channels, samplesPerFrame, values } = file.analog ?? {
    channels: 0,
    samplesPerFrame: 1,
    values: [],
  };
  const parameterBlock = 2 + (file.blocksBeforeParameters ?? 0);
  const section = parameterSection(file, stored, first, last);
  const parameterBlocks = Math.ceil((section.length + 4) / BLOCK);
  const dataBlock = parameterBlock + parameterBlocks + (file.blocksBeforeData ?? 0);

  const head = new Bytes(order);
  head
    .byte(parameterBlock)
    .byte(0x50)
    .int16(labels.length)
    .int16(channels * samplesPerFrame);
  head.int16(Math.min(first, 65535)).int16(Math.min(last, 65535)).int16(10).float(stored);
  head.int16(dataBlock).int16(samplesPerFrame).float(file.rateHz).padTo(298);
  const events = file.headerEvents ?? [];
  head
    .int16(events.length > 0 ? 12345 : 0)
    .int16(events.length)
    .padTo(304);
  for (const { time_s } of events) head.float(time_s);
  head.padTo(376 + 20);
  for (const { label } of events) head.text(label, 4);
  head.padTo((parameterBlock - 1) * BLOCK);
  head.byte(1).byte(0x50).byte(parameterBlocks).byte(PROCESSOR[order]);
  head.data.push(...section);
  head.padTo((dataBlock - 1) * BLOCK);

  const number = (value: number): void => {
    if (encoding === 'float') head.float(value);
    else head.int16(Math.round(value));
  };
  const residualWord = Math.round((file.residual ?? 0) / scale);
  for (const [i, frame] of points.entries()) {
    for (const point of frame) {
      for (const c of point ?? [0, 0, 0]) number(encoding === 'float' ? c : c / scale);
      number(point ? residualWord : -1);
    }
    for (const value of values[i] ?? []) number(value);
  }
  return Uint8Array.from(head.padTo(Math.ceil(head.data.length / BLOCK) * BLOCK).data);
}

function parameterSection(file: WrittenFile, scale: number, first: number, last: number): number[] {
  const frames = last - first + 1;
  const { labels, analog, groupEvents } = file;
  const pointGroup: Parameter[] = [
    { name: 'USED', int16: [labels.length] },
    { name: 'FRAMES', int16: [Math.min(frames, 65535)] },
    { name: 'SCALE', float: [scale] },
    { name: 'RATE', float: [file.rateHz] },
    { name: 'UNITS', texts: [file.unit ?? 'mm'] },
  ];
  for (let from = 0; from < labels.length; from += MOST_LABELS) {
    const name = from === 0 ? 'LABELS' : `LABELS${from / MOST_LABELS + 1}`;
    pointGroup.push({ name, texts: labels.slice(from, from + MOST_LABELS) });
  }
  const groups: [string, Parameter[]][] = [['POINT', pointGroup]];
  if (last > 65535) {
    const words = (n: number): number[] => [n & 0xffff, n >>> 16];
    groups.push([
      'TRIAL',
      [
        { name: 'ACTUAL_START_FIELD', int16: words(first) },
        { name: 'ACTUAL_END_FIELD', int16: words(last) },
      ],
    ]);
  }
  if (analog)
    groups.push([
      'ANALOG',
      [
        { name: 'USED', int16: [analog.channels] },
        { name: 'GEN_SCALE', float: [1] },
        { name: 'SCALE', float: new Array(analog.channels).fill(analog.scale ?? 1) },
        { name: 'OFFSET', int16: new Array(analog.channels).fill(analog.offset ?? 0) },
      ],
    ]);
  if (groupEvents)
    groups.push([
      'EVENT',
      [
        { name: 'USED', int16: [groupEvents.length] },
        { name: 'LABELS', texts: groupEvents.map((e) => e.label) },
        { name: 'CONTEXTS', texts: groupEvents.map((e) => e.context) },
        {
          name: 'TIMES',
          float: groupEvents.flatMap((e) => [Math.floor(e.time_s / 60), e.time_s % 60]),
          dimensions: [2, groupEvents.length],
        },
      ],
    ]);
  const out = new Bytes(file.order);
  groups.forEach(([name, parameters], g) => {
    out
      .byte(name.length)
      .byte(-(g + 1))
      .text(name, name.length)
      .int16(3)
      .byte(0);
    for (const parameter of parameters) writeParameter(out, g + 1, parameter, file.order);
  });
  return out.byte(0).byte(0).data;
}

function writeParameter(out: Bytes, group: number, parameter: Parameter, order: WrittenFile['order']): void {
  const body = new Bytes(order);
  if ('texts' in parameter) {
    const width = Math.max(1, ...parameter.texts.map((t) => t.length));
    body.byte(-1).byte(2).byte(width).byte(parameter.texts.length);
    for (const text of parameter.texts) body.text(text, width);
  } else {
    const values = 'int16' in parameter ? parameter.int16 : parameter.float;
    const dimensions = parameter.dimensions ?? (values.length === 1 ? [] : [values.length]);
    body.byte('int16' in parameter ? 2 : 4).byte(dimensions.length);
    for (const d of dimensions) body.byte(d);
    for (const v of values) 'int16' in parameter ? body.int16(v) : body.float(v);
  }
  body.byte(0);
  out.byte(parameter.name.length).byte(group).text(parameter.name, parameter.name.length);
  out.int16(body.data.length + 2);
  out.data.push(...body.data);
}
