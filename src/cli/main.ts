#!/usr/bin/env node
import { setFlagsFromString } from 'node:v8';
import { runProgram } from './program.ts';

// Left to itself the heap of a study of a million swings grows to four times what is in use before it is swept. Swept at 1.3
// times it needs half the memory; this is no limit, and nothing fails for it.
setFlagsFromString('--heap-growing-percent=30');

// A reader that closes early (a pipe into `head`) is no fault of ours.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

try {
  process.exitCode = await runProgram(process.argv.slice(2), {
    out: (text) => process.stdout.write(text),
    err: (text) => process.stderr.write(text),
  });
} catch (error) {
  const words = error instanceof Error ? error.message : String(error);
  process.stderr.write(
    `This should not have happened, and it is our fault, not yours: ${words}\n` +
      'Your files are as they were. Please report these words with the command you typed.\n',
  );
  process.exitCode = 2;
}
