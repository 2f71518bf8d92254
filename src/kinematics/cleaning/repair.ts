/** Something that cleaning found in the markers, over frames from..to (counted from 0), and what it did about it. */
export interface Repair {
  readonly found: 'exchanged markers' | 'marker away from its place' | 'step in a path' | 'same marker twice';
  readonly landmarks: readonly string[];
  readonly from: number;
  readonly to: number;
  readonly done: 'put right' | 'left missing' | 'kept';
  /** What decided, in words. */
  readonly because: string;
}
