#!/usr/bin/env node
import { runProgram } from './program.ts';

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
