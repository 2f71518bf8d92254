import { escapeMarkup } from './escape.ts';
import { paint } from './palette.ts';

/** Stick figures in motion, as typed data: still pictures of chosen moments, and all frames to be played one after another. */
export interface MotionPicture {
  readonly id: string;
  readonly title: string;
  readonly caption: string;
  /** What can be seen, for whoever does not see it. */
  readonly description: string;
  /** Left, right, bottom and top of what is drawn, in the unit of the lines. */
  readonly extent: readonly [number, number, number, number];
  readonly figures: readonly StickFigure[];
  /** The frames that are shown as stills, with a word for each. */
  readonly moments: readonly { readonly frame: number; readonly label: string }[];
  /** How long one run through all frames takes, s. */
  readonly seconds: number;
}

/** A figure of lines that moves. */
export interface StickFigure {
  readonly name: string;
  readonly color: string;
  readonly dashed?: boolean;
  /** For each frame the lines of the figure, each a list of x, y, x, y ... with y upward. */
  readonly frames: readonly (readonly (readonly number[])[])[];
}

/** Height of a drawing in its own units; its width follows from the extent. */
const HEIGHT = 300;

/**
 * A motion picture for a page: stills side by side, and beneath them the figure in motion once the reader asks for it. Needs no script; a
 * reader who wants less motion, a printer and a program that knows no styles see the stills alone.
 *
 * @param headingLevel of its title
 * @throws RangeError where figures differ in their number of frames, or a moment names a frame that there is not
 * @example
 * const picture = {
 *   id: 'arm', title: 'An arm', caption: 'Invented.', description: 'An arm comes down.', extent: [-1, 1, -1, 1], seconds: 1,
 *   figures: [{ name: 'G01', color: '#000000', frames: [[[0, 0, 1, 0]], [[0, 0, 0, -1]]] }],
 *   moments: [{ frame: 0, label: 'level' }, { frame: 1, label: 'down' }],
 * };
 * motionPictureHtml(picture, 2).includes('<h2') // true
 */
export function motionPictureHtml(picture: MotionPicture, headingLevel: number): string {
  const frames = checkedFrames(picture);
  const { id, title, caption, description, moments, figures } = picture;
  const name = `motion-${id.replaceAll(/[^A-Za-z0-9-]/g, '-')}`;
  const key = figures.map((figure) => `<li>${keyLine(figure)} ${escapeMarkup(figure.name)}</li>`).join('');
  const stills = moments
    .map(
      ({ frame, label }) =>
        `<li>${svg(picture, frameLines(picture, frame), `${label}. ${description}`)}<span>${escapeMarkup(label)}</span></li>`,
    )
    .join('');
  const moving = Array.from(
    { length: frames },
    (_, i) =>
      `<g class="f" style="animation-delay:${((i * picture.seconds) / frames).toFixed(3)}s">${frameLines(picture, i)}</g>`,
  ).join('');
  return `<figure class="motion" id="${name}"><style>${style(name, frames, picture.seconds)}</style>
<h${headingLevel}>${escapeMarkup(title)}</h${headingLevel}>
<ul class="key">${key}</ul>
<ul class="stills">${stills}</ul>
<div class="play"><label><input type="checkbox"> Play in slow motion</label>${svg(picture, moving, '', 'class="moving" aria-hidden="true"')}</div>
<figcaption>${escapeMarkup(caption)}</figcaption></figure>`;
}

/**
 * The stills side by side in one drawing, as SVG text.
 *
 * @throws RangeError as {@link motionPictureHtml}
 * @example
 * const picture = {
 *   id: 'arm', title: 'An arm', caption: 'Invented.', description: 'An arm comes down.', extent: [-1, 1, -1, 1], seconds: 1,
 *   figures: [{ name: 'G01', color: '#000000', frames: [[[0, 0, 1, 0]], [[0, 0, 0, -1]]] }],
 *   moments: [{ frame: 0, label: 'level' }, { frame: 1, label: 'down' }],
 * };
 * motionPictureSvg(picture).includes('level') // true
 */
export function motionPictureSvg(picture: MotionPicture): string {
  checkedFrames(picture);
  const width = widthOf(picture);
  const { moments } = picture;
  const panels = moments
    .map(
      ({ frame, label }, i) =>
        `<g transform="translate(${i * width} 0)">${frameLines(picture, frame)}<text x="${width / 2}" y="${HEIGHT + 18}" text-anchor="middle" font-family="sans-serif" font-size="14">${escapeMarkup(label)}</text></g>`,
    )
    .join('');
  const box = `viewBox="0 0 ${width * moments.length} ${HEIGHT + 26}" width="${width * moments.length}" height="${HEIGHT + 26}"`;
  return `<svg xmlns="http://www.w3.org/2000/svg" ${box} role="img" aria-label="${escapeMarkup(picture.description)}">${panels}</svg>`;
}

function checkedFrames({ figures, moments }: MotionPicture): number {
  const frames = figures[0]?.frames.length ?? 0;
  if (frames === 0 || figures.some((figure) => figure.frames.length !== frames))
    throw new RangeError('motionPicture: every figure needs the same number of frames, at least one.');
  for (const { frame, label } of moments)
    if (!(Number.isInteger(frame) && frame >= 0 && frame < frames))
      throw new RangeError(`motionPicture: ${label} is frame ${frame}; there are 0 to ${frames - 1}.`);
  return frames;
}

function widthOf({ extent: [left, right, bottom, top] }: MotionPicture): number {
  return Math.round((HEIGHT * (right - left)) / (top - bottom));
}

function svg(picture: MotionPicture, content: string, label: string, attributes?: string): string {
  const known = attributes ?? `role="img" aria-label="${escapeMarkup(label)}"`;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${widthOf(picture)} ${HEIGHT}" ${known}>${content}</svg>`;
}

function frameLines(picture: MotionPicture, frame: number): string {
  const [left, , bottom, top] = picture.extent;
  const scale = HEIGHT / (top - bottom);
  return picture.figures
    .map((figure) => {
      const lines = figure.frames[frame]!.map((line) => {
        const at = line.map((v, k) => ((k % 2 === 0 ? v - left : top - v) * scale).toFixed(1));
        return `M${at.join(' ')}`;
      });
      const dash = figure.dashed === true ? ' stroke-dasharray="7 4"' : '';
      return `<path d="${lines.join('')}" ${paint({ stroke: figure.color })} fill="none" stroke-width="3.5" stroke-linecap="round" stroke-linejoin="round"${dash}/>`;
    })
    .join('');
}

function keyLine({ color, dashed }: StickFigure): string {
  const dash = dashed === true ? ' stroke-dasharray="7 4"' : '';
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 8" width="32" height="8" aria-hidden="true"><path d="M2 4H30" ${paint({ stroke: color })} stroke-width="3.5"${dash}/></svg>`;
}

function style(name: string, frames: number, seconds: number): string {
  const at = `#${name}`;
  const share = (100 / frames).toFixed(3);
  return [
    `${at}{margin:1rem 0}`,
    `${at} ul{list-style:none;padding:0;margin:.5rem 0;display:flex;flex-wrap:wrap;gap:.5rem 1.25rem}`,
    `${at} .stills{gap:.5rem}`,
    `${at} .stills li{flex:1 1 8rem;max-width:16rem;text-align:center}`,
    `${at} .stills svg{display:block;width:100%;height:auto}`,
    `${at} .play{display:none}`,
    `@media screen and (prefers-reduced-motion:no-preference){`,
    `${at} .play{display:block}`,
    `${at} label{display:inline-flex;align-items:center;gap:.5rem;min-height:44px;cursor:pointer}`,
    `${at} input{width:1.25rem;height:1.25rem}`,
    `${at} .moving{display:none;width:100%;max-width:26rem;height:auto}`,
    `${at} .play:has(:checked) .moving{display:block}`,
    `${at} .f{visibility:hidden;animation:${name} ${seconds}s step-end infinite}`,
    `@keyframes ${name}{0%{visibility:visible}${share}%{visibility:hidden}}`,
    `}`,
  ].join('');
}
