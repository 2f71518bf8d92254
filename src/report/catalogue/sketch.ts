import { escapeMarkup } from '../escape.ts';
import { fontFamily } from '../figure-svg.ts';
import { type ColourName, colour, paint } from '../palette.ts';
import { px } from '../svg-marks.ts';

/** A point of a drawing, px, x to the right and y down. */
export type Point = readonly [number, number];

const RAD = Math.PI / 180;

/** The point at `length` from `from`, at an angle in degrees: 0 to the right, 90 up. */
export const polar = (from: Point, length: number, angle_deg: number): Point => [
  from[0] + length * Math.cos(angle_deg * RAD),
  from[1] - length * Math.sin(angle_deg * RAD),
];

const middle = (a: Point, b: Point, share = 0.5): Point => [
  a[0] + share * (b[0] - a[0]),
  a[1] + share * (b[1] - a[1]),
];

export interface LineLook {
  readonly ink?: ColourName;
  readonly width?: number;
  readonly dashed?: boolean;
  /** An arrow head at the last point. */
  readonly arrow?: boolean;
}

/** A line through points; a segment of a body unless told otherwise. */
export function line(points: readonly Point[], look: LineLook = {}): string {
  const { ink = 'ink', width = 3.5, dashed = false, arrow = false } = look;
  const path = points.map(([x, y], k) => `${k === 0 ? 'M' : 'L'}${px(x)} ${px(y)}`).join('');
  const dash = dashed ? ' stroke-dasharray="5 4"' : '';
  const stroke = `<path d="${path}" ${paint({ stroke: colour[ink] })} fill="none" stroke-width="${width}" stroke-linecap="round" stroke-linejoin="round"${dash}/>`;
  return arrow ? stroke + arrowHead(points.at(-2)!, points.at(-1)!, ink, width) : stroke;
}

/** Lines that help to see: verticals, extensions, planes' edges. */
export const guide = (points: readonly Point[]): string =>
  line(points, { ink: 'soft', width: 1.4, dashed: true });

/** A shaft from the grip to the head, which is drawn as a blot. */
export const club = (grip: Point, head: Point): string =>
  line([grip, head], { ink: 'drill', width: 2.4 }) + dot(head, 5, 'drill');

function arrowHead(from: Point, tip: Point, ink: ColourName, width: number): string {
  const angle = Math.atan2(from[1] - tip[1], tip[0] - from[0]) / RAD;
  const size = 6 + 1.6 * width;
  const corners = [tip, polar(tip, size, angle + 155), polar(tip, size, angle - 155)];
  return area(corners, ink);
}

/** A filled shape. */
export const area = (points: readonly Point[], ink: ColourName): string =>
  `<polygon points="${points.map(([x, y]) => `${px(x)},${px(y)}`).join(' ')}" ${paint({ fill: colour[ink] })}/>`;

export const dot = ([x, y]: Point, radius = 4.5, ink: ColourName = 'ink'): string =>
  `<circle cx="${px(x)}" cy="${px(y)}" r="${px(radius)}" ${paint({ fill: colour[ink] })}/>`;

/** A ball, or a head: a ring. */
export const ring = ([x, y]: Point, radius: number): string =>
  `<circle cx="${px(x)}" cy="${px(y)}" r="${px(radius)}" ${paint({ stroke: colour.ink, fill: colour.paper })} stroke-width="2"/>`;

/** The arc of an angle about `centre`, with an arrow in the positive sense at its end. */
export function arc(
  centre: Point,
  radius: number,
  from_deg: number,
  to_deg: number,
  look: LineLook = {},
): string {
  const steps = Math.max(3, Math.ceil(Math.abs(to_deg - from_deg) / 3));
  const points = Array.from({ length: steps + 1 }, (_, k) =>
    polar(centre, radius, from_deg + ((to_deg - from_deg) * k) / steps),
  );
  return line(points, { ink: 'control', width: 2, arrow: true, ...look });
}

export interface WordLook {
  readonly at?: 'start' | 'middle' | 'end';
  readonly ink?: ColourName;
  readonly bold?: boolean;
}

/** Words in a drawing. */
export function word(text: string, [x, y]: Point, look: WordLook = {}): string {
  const { at = 'start', ink = 'ink', bold = false } = look;
  return `<text x="${px(x)}" y="${px(y)}" font-size="13" text-anchor="${at}"${bold ? ' font-weight="600"' : ''} ${paint({ fill: colour[ink] })}>${escapeMarkup(text)}</text>`;
}

/** A distance between two points, with an arrow in its positive sense and its name beside the middle. */
export const distance = (from: Point, to: Point, name: string, shift: Point): string => {
  const [x, y] = middle(from, to);
  return (
    line([from, to], { ink: 'control', width: 2, arrow: true }) +
    word(name, [x + shift[0], y + shift[1]], { ink: 'control', at: 'middle', bold: true })
  );
};

export interface Sketch {
  readonly id: string;
  readonly title: string;
  /** The drawing in words, for who cannot see it. */
  readonly description: string;
  readonly width: number;
  readonly height: number;
  readonly marks: readonly string[];
}

/** The drawing as an SVG element of its own width, never wider than its place. */
export function sketchSvg({ id, title, description, width, height, marks }: Sketch): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-labelledby="${id}-title ${id}-desc" font-family="${escapeMarkup(fontFamily)}" style="display:block;max-width:100%;height:auto">
<title id="${id}-title">${escapeMarkup(title)}</title><desc id="${id}-desc">${escapeMarkup(description)}</desc>
${marks.join('\n')}
</svg>`;
}
