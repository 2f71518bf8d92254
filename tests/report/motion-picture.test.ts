import { describe, expect, it } from 'vitest';
import { type MotionPicture, motionPictureHtml, motionPictureSvg } from '../../src/report/index.ts';

const picture: MotionPicture = {
  id: 'a "quoted" id',
  title: '<b>Two</b> frames',
  caption: 'caption & words',
  description: 'a line that rises',
  extent: [0, 2, 0, 1],
  figures: [
    {
      name: 'line',
      color: '#00617f',
      frames: [[[0, 0, 2, 0]], [[0, 0, 2, 1]]],
    },
  ],
  moments: [{ frame: 1, label: 'risen' }],
  seconds: 2,
};

describe('a motion picture', () => {
  it('puts points where the extent says, y upward', () => {
    // 300 units high, so 600 wide: the line from corner to corner.
    expect(motionPictureSvg(picture)).toContain('M0.0 300.0 600.0 0.0');
    expect(motionPictureSvg(picture)).toContain('viewBox="0 0 600 326"');
  });

  it('shows stills to everyone, and what moves only to whoever wants motion', () => {
    const html = motionPictureHtml(picture, 3);
    const [before, after] = html.split('@media screen and (prefers-reduced-motion:no-preference)');
    expect(before).not.toContain('animation:');
    expect(before).toContain('.play{display:none}');
    expect(after).toContain('animation:');
    expect(html.match(/class="f"/g)).toHaveLength(2);
    expect(html).not.toContain('<script');
  });

  it('shows words as they stand, and keeps its id fit for styles', () => {
    const html = motionPictureHtml(picture, 3);
    expect(html).toContain('<h3>&lt;b&gt;Two&lt;/b&gt; frames</h3>');
    expect(html).toContain('id="motion-a--quoted--id"');
  });

  it('refuses frames that do not fit together', () => {
    expect(() => motionPictureSvg({ ...picture, figures: [] })).toThrow(/same number of frames/);
    expect(() => motionPictureSvg({ ...picture, moments: [{ frame: 2, label: 'x' }] })).toThrow(/0 to 1/);
  });
});
