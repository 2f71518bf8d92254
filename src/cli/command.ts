import type { Progress } from './progress.ts';
import type { CommandResult } from './result.ts';

/** One command: how it is typed, an example that works, and where its work is. */
export interface CommandSpec {
  readonly name: string;
  readonly summary: string;
  /** The words after `npm run --silent cli -- `, shown under --help. */
  readonly example: string;
  readonly arguments?: readonly { readonly usage: string; readonly summary: string }[];
  readonly options: readonly {
    readonly usage: string;
    readonly summary: string;
    readonly required?: boolean;
  }[];
  readonly load: () => Promise<{ run(given: Given, progress: Progress): Promise<CommandResult> }>;
}

/** What was typed: positional arguments in order, and options by their camel-case name. */
export interface Given {
  readonly arguments: readonly (string | undefined)[];
  readonly options: Readonly<Record<string, string | boolean | undefined>>;
}
