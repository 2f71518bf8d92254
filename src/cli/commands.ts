import type { CommandSpec } from './command.ts';

/**
 * How each command is typed. The work itself is loaded only when the command runs, so that asking for help
 * does not load a statistics package.
 */
export const COMMANDS: readonly CommandSpec[] = [
  {
    name: 'demo',
    summary: 'Answer the question of the demo roster (invented people) and write its report.',
    example: 'demo',
    options: [
      {
        usage: '--out <folder>',
        summary: 'a new folder for the report (default: demo-report, or the next free name)',
      },
    ],
    load: () => import('./commands/demo.ts'),
  },
  {
    name: 'init',
    summary: 'Write an empty starter folder with a dictionary of every column. Overwrites nothing.',
    example: 'init my-roster',
    arguments: [{ usage: '[folder]', summary: 'the new folder' }],
    options: [{ usage: '--out <folder>', summary: 'the new folder, if not given as the first word' }],
    load: () => import('./commands/init.ts'),
  },
  {
    name: 'check',
    summary: 'Look for everything that is wrong in a dataset folder, all at once. Changes nothing.',
    example: 'check my-roster',
    arguments: [{ usage: '[folder]', summary: 'the dataset folder' }],
    options: [{ usage: '--data <folder>', summary: 'the dataset folder, if not given as the first word' }],
    load: () => import('./commands/check.ts'),
  },
  {
    name: 'import',
    summary:
      'Bring a spreadsheet (CSV, .xlsx) into a dataset: first propose a mapping to look through, then apply it.',
    example: 'import --propose lesson.xlsx --out my-mapping',
    options: [
      { usage: '--propose <file>', summary: 'the spreadsheet for which a mapping is proposed' },
      {
        usage: '--mapping <file>',
        summary: 'the mapping to apply (JSON; see data-schemas/import-mapping.schema.json)',
      },
      {
        usage: '--data <folder>',
        summary: 'the dataset that is extended or begun; with --propose, the one whose golfers are known',
      },
      {
        usage: '--file <file>',
        summary: 'with --mapping: another spreadsheet of the same columns than the one beside the mapping',
      },
      {
        usage: '--out <folder>',
        summary:
          'with --propose: a new folder for the mapping and a copy of the file; with --mapping: a new folder in place of changing --data',
      },
    ],
    load: () => import('./commands/import.ts'),
  },
  {
    name: 'ask',
    summary: 'Put a question to a dataset: drill-trial, noise, one-golfer, mechanism, instructors, waveform.',
    example: 'ask drill-trial --data my-roster --metric shaft_lean_impact_deg --out my-report',
    arguments: [
      {
        usage: '<study>',
        summary: 'which question: drill-trial, noise, one-golfer, mechanism, instructors, waveform',
      },
    ],
    options: [
      { usage: '--data <folder>', summary: 'the dataset folder', required: true },
      { usage: '--metric <column>', summary: 'the number that answers, a column of swings.csv' },
      {
        usage: '--golfer <ids>',
        summary: 'one-golfer: whom it is about; several, with commas between them, begin one after the other',
      },
      { usage: '--plan <file>', summary: 'a plan written beforehand (JSON), locked or not' },
      {
        usage: '--seal <seal>',
        summary: 'the seal as it was told when the plan was locked; refuses a plan with another',
      },
      {
        usage: '--against <column>',
        summary: 'of noise: another metric in the same unit, compared on the same swings',
      },
      { usage: '--change <size>', summary: 'of noise: the change to be seen, in the unit of the metric' },
      {
        usage: '--predictor <column>',
        summary: 'of mechanism: the number that says how early the elbow straightens',
      },
      {
        usage: '--mediator <column>',
        summary: 'of mechanism: the number that says how late the club is let go',
      },
      {
        usage: '--compare <what>',
        summary: 'of waveform: arms-change, arms-after, before-after or by-number',
      },
      {
        usage: '--by <column>',
        summary: 'of waveform: a number of the golfer to compare curves by, such as handicap_index',
      },
      { usage: '--axis <layout>', summary: 'of waveform: registered, percent or milliseconds' },
      {
        usage: '--seed <number>',
        summary: 'of studies that draw at random: a whole number, in place of that of the plan',
      },
      {
        usage: '--every-choice',
        summary: 'ask again under every combination of stated choices, and say in how many the answer holds',
      },
      {
        usage: '--golfer-pages',
        summary:
          'of drill-trial: beside the report, a page for each golfer that names nobody else, and a list',
      },
      { usage: '--out <folder>', summary: 'a new folder for the report' },
    ],
    load: () => import('./commands/ask.ts'),
  },
  {
    name: 'fit',
    summary: 'Fit a model, described as a JSON object, to the columns of a CSV file.',
    example: 'fit --model model.json --data data.csv --predict --json',
    options: [
      {
        usage: '--model <file>',
        summary: 'the model (JSON; see data-schemas/model.schema.json)',
        required: true,
      },
      { usage: '--data <file>', summary: 'the data (CSV with a header)', required: true },
      { usage: '--predict', summary: "add each group level's own effects with their conditional SDs" },
    ],
    load: () => import('./commands/fit.ts'),
  },
  {
    name: 'fit-sums',
    summary:
      'Fit a nested normal model to a table of any size from sums over its groups, made here or by another SQL engine.',
    example: 'fit-sums --model model.json --data swings.parquet --json',
    options: [
      {
        usage: '--model <file>',
        summary: 'the model (JSON; see data-schemas/model.schema.json)',
        required: true,
      },
      { usage: '--data <file>', summary: 'the rows (Parquet, or CSV with a header), summed in one pass' },
      { usage: '--sums <file>', summary: 'the sums, as made by the printed SQL (CSV with a header)' },
      { usage: '--table <name>', summary: 'print the SQL that makes the sums from this table, and stop' },
      { usage: '--print-sql', summary: 'with --data: print the SQL that was run, and stop' },
      { usage: '--predict', summary: "add each group level's own effects with their conditional SDs" },
    ],
    load: () => import('./commands/fit-sums.ts'),
  },
  {
    name: 'measure',
    summary: 'From a capture (C3D or CSV), or a folder of them, and its layout to the numbers of each swing.',
    example: 'measure --capture swing.c3d --layout layout.json --json',
    options: [
      { usage: '--capture <file>', summary: 'one capture (C3D or CSV)' },
      {
        usage: '--captures <folder>',
        summary:
          'a folder of captures (.c3d, .csv); a manifest.csv in it (file, swing_id, session_id, order_in_session, task, layout) says which swing each one is',
      },
      {
        usage: '--layout <file>',
        summary: 'which channel is which landmark (JSON; see data-schemas/layout.schema.json)',
        required: true,
      },
      {
        usage: '--out <folder>',
        summary: 'with --captures: a new folder for the tables, or one to go on with after a stop',
      },
      {
        usage: '--against <file>',
        summary:
          'with --capture: numbers that another source gave for this swing (JSON, by metric column); says of each that differs what it looks like',
      },
    ],
    load: () => import('./commands/measure.ts'),
  },
  {
    name: 'inspect',
    summary: 'Say what a capture file (C3D or CSV) holds: rate, frames, points, units, events.',
    example: 'inspect swing.c3d --frame 120 --json',
    arguments: [{ usage: '<file>', summary: 'the capture' }],
    options: [{ usage: '--frame <number>', summary: 'list the points at this frame (default: the first)' }],
    load: () => import('./commands/inspect.ts'),
  },
  {
    name: 'angle',
    summary:
      'Compute a joint angle, row by row, from a table of points; show every step of it, its error and its rivals.',
    example:
      'angle --definition three-point-elbow --data points.csv --points shoulder=SHO,elbow=ELB,wrist=WRI --json',
    options: [
      {
        usage: '--definition <name>',
        summary: 'three-point-elbow, or isb-elbow (Wu et al. 2005)',
        required: true,
      },
      { usage: '--data <file>', summary: 'a CSV with the columns NAME_x, NAME_y, NAME_z', required: true },
      {
        usage: '--points <list>',
        summary: 'which point is which: ROLE=NAME,... (NAME+NAME is the midpoint)',
        required: true,
      },
      { usage: '--side <side>', summary: 'right (default) or left, for isb-elbow' },
      {
        usage: '--steps <row>',
        summary: 'every intermediate of this row with equation and source, and its error budget',
      },
      {
        usage: '--published <file>',
        summary:
          'angles as published, by row of the points (JSON with source and angles, or a CSV with the column row): says whether they are reproduced',
      },
      {
        usage: '--tolerance-deg <size>',
        summary: 'with --published: the largest difference that is none (default 0.1)',
      },
      { usage: '--out <folder>', summary: 'a new folder for the report on the angle' },
      { usage: '--compare', summary: 'other definitions of the elbow beside isb-elbow, and why they differ' },
      {
        usage: '--noise-mm <sd>',
        summary: 'SD of each coordinate of a marker; puts the SD of each angle beside it',
      },
      {
        usage: '--unit <unit>',
        summary: 'm, cm, mm or in, where the columns do not say and the arm does not tell',
      },
    ],
    load: () => import('./commands/angle.ts'),
  },
  {
    name: 'run',
    summary: 'Run a notebook (a percent-format .ts file) and write it as .ipynb and as a page.',
    example: 'run notebooks/drill-trial.ts --data my-roster --out my-notebook',
    arguments: [
      { usage: '<notebook>', summary: 'the notebook; it is a program, so run only what you trust' },
    ],
    options: [
      { usage: '--data <folder>', summary: 'the dataset folder the notebook reads' },
      { usage: '--seed <number>', summary: 'what notebook.seed gives: a whole number (default 1)' },
      { usage: '--cell-seconds <number>', summary: 'how long one cell may take (default 120)' },
      { usage: '--memory-mb <number>', summary: 'how much memory the notebook may use (default 2048)' },
      {
        usage: '--watch',
        summary:
          'run it again whenever it changes, and keep a page in the browser up to date; Ctrl-C ends it',
      },
      { usage: '--out <folder>', summary: 'a new folder for the two files', required: true },
    ],
    load: () => import('./commands/run.ts'),
  },
  {
    name: 'verify',
    summary:
      'Make a report or a notebook again from what it came from, and say whether it is identical or what moved.',
    example: 'verify my-report --data my-roster --plan plan.json',
    arguments: [
      {
        usage: '<report>',
        summary:
          'the folder of a report or of a notebook that was run, or one of its files; a notebook is a program, so verify only what you trust',
      },
    ],
    options: [
      { usage: '--data <folder>', summary: 'the folder it was made from' },
      {
        usage: '--plan <file>',
        summary: 'the plan it was asked with (default: the file of that name beside the data)',
      },
      {
        usage: '--notebook <file>',
        summary: 'the notebook (.ts) as it is now (default: the one that was run)',
      },
    ],
    load: () => import('./commands/verify.ts'),
  },
  {
    name: 'export',
    summary:
      'Pack a report with data, plan and all that a stranger needs to make it again, as a zip; only of golfers who consented to sharing.',
    example: 'export my-report --data my-roster --plan plan.json --out my-report.zip',
    arguments: [
      {
        usage: '<report>',
        summary: 'the folder of a report or of a notebook that was run, or one of its files',
      },
    ],
    options: [
      { usage: '--data <folder>', summary: 'the folder it was made from' },
      {
        usage: '--plan <file>',
        summary: 'the plan it was asked with (default: the file of that name beside the data)',
      },
      {
        usage: '--notebook <file>',
        summary:
          'a notebook (.ts) to run on the same data and pack beside the report; run only what you trust',
      },
      { usage: '--license <address>', summary: 'the address of the licence under which it is handed on' },
      {
        usage: '--date <day>',
        summary: 'the day on which it is handed on (default: the newest date in the data)',
      },
      { usage: '--pdf', summary: 'also the page as PDF, printed by a Chromium on this machine' },
      { usage: '--out <file>', summary: 'a new file ending in .zip', required: true },
    ],
    load: () => import('./commands/export.ts'),
  },
  {
    name: 'generate',
    summary: 'Make an invented roster whose truth is known, from a recipe and a seed.',
    example: 'generate --recipe drill-no-effect --seed 7 --out invented-roster',
    options: [
      {
        usage: '--recipe <name>',
        summary: 'a recipe of synthetic/recipes/ by name, or a file ending in .json',
        required: true,
      },
      {
        usage: '--seed <number>',
        summary: 'a whole number; the same seed gives the same bytes',
        required: true,
      },
      { usage: '--out <folder>', summary: 'a new folder for the dataset and truth.json', required: true },
      {
        usage: '--captures',
        summary:
          'also write each full swing as a C3D capture; for recipes whose swings come from the mechanics',
      },
    ],
    load: () => import('./commands/generate.ts'),
  },
  {
    name: 'plan',
    summary:
      'How many golfers and swings? Work out the size of a study by simulating it with the model that will be used.',
    example: 'plan --recipe drill-parallel-effect --metric shaft_lean_impact_deg --change 1 --out my-plan',
    options: [
      { usage: '--recipe <name>', summary: 'how values spread: a recipe by name, or a file ending in .json' },
      { usage: '--data <folder>', summary: 'how values spread: a dataset with swings like those planned' },
      { usage: '--plan <file>', summary: 'the plan as far as it is written (JSON)' },
      { usage: '--metric <column>', summary: 'the number that decides, a column of swings.csv' },
      { usage: '--design <kind>', summary: 'parallel, crossover, before-after or after-only' },
      { usage: '--effect <size>', summary: 'the true effect that is assumed, with its sign' },
      { usage: '--change <size>', summary: 'the smallest change that matters, where the plan states none' },
      { usage: '--change-sd <size>', summary: "SD of golfers' own changes, where data cannot tell" },
      { usage: '--golfers <number>', summary: 'golfers in all, when only the chance is asked for' },
      { usage: '--sessions <number>', summary: 'sessions of each golfer in each phase (default 1)' },
      { usage: '--swings <number>', summary: 'full swings in a session' },
      { usage: '--leaving <share>', summary: 'share of golfers who leave before the end, 0 to 0.6' },
      { usage: '--chance <share>', summary: 'wished chance of the right verdict (default 0.8)' },
      { usage: '--draws <number>', summary: 'simulated studies of each size (default 1000)' },
      { usage: '--seed <number>', summary: 'a whole number; the same seed gives the same bytes (default 1)' },
      { usage: '--workers <number>', summary: 'threads; the numbers do not depend on it (default 1)' },
      { usage: '--out <folder>', summary: 'a new folder for the report' },
    ],
    load: () => import('./commands/plan.ts'),
  },
  {
    name: 'calibrate',
    summary:
      'Does the method tell the truth? Put cohorts of known truth to the studies and count how often they are right.',
    example: 'calibrate --study noise --cohorts 500 --out my-calibration',
    options: [
      {
        usage: '--study <names>',
        summary: 'which studies, with commas between them (default all that give intervals)',
      },
      { usage: '--cohorts <number>', summary: 'cohorts of each kind (default 2000, which takes a while)' },
      { usage: '--seed <number>', summary: 'a whole number; the same seed gives the same bytes (default 1)' },
      { usage: '--workers <number>', summary: 'threads; the numbers do not depend on it (default 1)' },
      { usage: '--out <folder>', summary: 'a new folder for the report' },
    ],
    load: () => import('./commands/calibrate.ts'),
  },
  {
    name: 'allocate',
    summary:
      'Let chance decide who does the drill: seal a list of arms in blocks, by strata, then open it one golfer at a time.',
    example:
      'allocate --data my-roster --plan plan.json --strata handicap_index --seed 8214007315529 --out my-list',
    options: [
      { usage: '--data <folder>', summary: 'the dataset folder; golfers.csv alone will do', required: true },
      {
        usage: '--seed <number>',
        summary: 'a long random whole number: the key of the list, kept from whoever enters golfers',
        required: true,
      },
      { usage: '--plan <file>', summary: 'to seal: the plan that names the arms (JSON)' },
      {
        usage: '--strata <columns>',
        summary: 'to seal: columns of golfers.csv, with commas, to balance over',
      },
      { usage: '--out <folder>', summary: 'to seal: a new folder for the list' },
      { usage: '--open <folder>', summary: 'to open: the folder of the list' },
      {
        usage: '--golfer <ids>',
        summary: 'to open: who is entered now, with commas; all for everybody left',
      },
    ],
    load: () => import('./commands/allocate.ts'),
  },
  {
    name: 'lock',
    summary:
      'Seal a plan together with what is in the dataset now, so that neither can be altered unnoticed.',
    example: 'lock --plan plan.json --data my-roster --out plan-locked.json',
    options: [
      {
        usage: '--plan <file>',
        summary: 'the plan (JSON; see data-schemas/plan.schema.json)',
        required: true,
      },
      { usage: '--data <folder>', summary: 'the dataset folder as it is now, empty or not', required: true },
      { usage: '--out <file>', summary: 'a new file for the locked plan', required: true },
    ],
    load: () => import('./commands/lock.ts'),
  },
  {
    name: 'pseudonymise',
    summary: 'Write a dataset anew with pseudonyms that only the holder of a key can undo.',
    example: 'pseudonymise my-roster --key my-roster.key --out my-roster-coded',
    arguments: [{ usage: '[folder]', summary: 'the dataset folder' }],
    options: [
      { usage: '--data <folder>', summary: 'the dataset folder, if not given as the first word' },
      {
        usage: '--key <file>',
        summary: 'the key, outside the dataset; made where there is none',
        required: true,
      },
      { usage: '--out <folder>', summary: 'a new folder', required: true },
    ],
    load: () => import('./commands/pseudonymise.ts'),
  },
  {
    name: 'share',
    summary:
      'Write an export for handing on: by consent, without whoever would stand out, under codes, with dates and groups made coarse.',
    example: 'share my-roster --scope share --out for-others',
    arguments: [{ usage: '[folder]', summary: 'the dataset folder' }],
    options: [
      { usage: '--data <folder>', summary: 'the dataset folder, if not given as the first word' },
      {
        usage: '--scope <scope>',
        summary: 'what the golfers must have agreed to: coaching, study or share',
        required: true,
      },
      { usage: '--out <folder>', summary: 'a new folder', required: true },
      {
        usage: '--key <file>',
        summary: 'a key, outside the dataset: the same codes in every export of this scope',
      },
      { usage: '--captures', summary: 'captures too, freed of texts; a movement can be recognised' },
    ],
    load: () => import('./commands/share.ts'),
  },
  {
    name: 'erase',
    summary:
      'Take a golfer out of a dataset folder: tables, captures, curves, logs, reports, packed files; then prove that nothing is left.',
    example: 'erase G07 --data my-roster',
    arguments: [{ usage: '<golfer>', summary: 'the id, letter for letter; or the pseudonym' }],
    options: [
      { usage: '--data <folder>', summary: 'the dataset folder, which is replaced', required: true },
      {
        usage: '--key <file>',
        summary: 'the key of the pseudonyms: what stands under the pseudonym of this id goes too',
      },
    ],
    load: () => import('./commands/erase.ts'),
  },
  {
    name: 'pack',
    summary: 'Pack a dataset folder as Parquet, for large data, without change of a value.',
    example: 'pack my-roster --out my-roster-packed',
    arguments: [{ usage: '[folder]', summary: 'the dataset folder' }],
    options: [
      { usage: '--data <folder>', summary: 'the dataset folder, if not given as the first word' },
      { usage: '--out <folder>', summary: 'a new folder for the packed dataset', required: true },
    ],
    load: () => import('./commands/pack.ts'),
  },
  {
    name: 'unpack',
    summary: 'Turn a packed dataset folder into CSV tables again, with the same values.',
    example: 'unpack my-roster-packed --out my-roster-again',
    arguments: [{ usage: '[folder]', summary: 'the packed folder' }],
    options: [
      { usage: '--data <folder>', summary: 'the packed folder, if not given as the first word' },
      { usage: '--out <folder>', summary: 'a new folder for the CSV tables', required: true },
    ],
    load: () => import('./commands/unpack.ts'),
  },
];
