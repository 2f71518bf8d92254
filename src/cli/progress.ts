/**
 * Says on stderr which step is under way, but only on a terminal and only once the work has taken over a
 * second: short work stays quiet, and a pipe or a log never sees it.
 */
export interface Progress {
  step(words: string): void;
}

const QUIET_MS = 1000;

export function createProgress(
  stream: { readonly isTTY?: boolean; write(text: string): unknown } = process.stderr,
  now: () => number = () => performance.now(),
): Progress {
  const start = now();
  return {
    step(words) {
      if (stream.isTTY === true && now() - start > QUIET_MS) stream.write(`${words} ...\n`);
    },
  };
}
