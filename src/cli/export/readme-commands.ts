import { basename } from 'node:path';
import { shellWord } from '../../dataset/index.ts';
import { commandOf, type Finding } from '../../studies/index.ts';
import type { NotebookPart } from './notebook-part.ts';

/** The commands of the README, with ARCHIVE for where it was unpacked. */
export function readmeCommands(
  finding: Finding | null,
  plan: { readonly path: string } | null,
  notebook: NotebookPart | null,
  hasData: boolean,
  seed: number,
) {
  const data = hasData ? ' --data ARCHIVE/data' : '';
  const planned = plan === null ? '' : ` --plan ${inArchive(`plan/${basename(plan.path)}`)}`;
  const told: { why: string; words: string }[] = [];
  if (finding !== null) {
    told.push({
      why: 'To make the report again in a scratch folder and say whether it is identical:',
      words: `verify ARCHIVE/report${data}${planned}`,
    });
    const asked = commandOf(finding)
      .map((word) =>
        word
          .replace(/^--data FOLDER$/, () => data.trim())
          .replace(/^--plan PLAN$/, () => planned.trim())
          .replace(/^--data POINTS$/, () => `--data ${inArchive(`data/${pointsOf(finding)[0] ?? ''}`)}`)
          .replace(
            /^--published PUBLISHED$/,
            () => `--published ${inArchive(`data/${pointsOf(finding)[1] ?? ''}`)}`,
          ),
      )
      .filter((word) => word !== '');
    told.push({ why: 'To have it made anew and keep it:', words: `${asked.join(' ')} --out again` });
  }
  if (notebook !== null) {
    told.push({
      why: 'To run the notebook again and say whether it is identical:',
      words: `verify ARCHIVE/notebook${data}`,
    });
    told.push({
      why: 'To run it anew and keep it:',
      words: `run ${inArchive(`notebook/${notebook.file}`)}${data} --seed ${seed} --out notebook-again`,
    });
  }
  return told;
}

/** A file of the archive as a word for a shell, whatever its name holds. */
const inArchive = (path: string): string => `ARCHIVE/${shellWord(path)}`;

/** The points of an angle, then the published values: the JSON file, or the second by name. */
function pointsOf({ provenance }: Finding): string[] {
  const names = provenance.inputs.map(({ file }) => file);
  return [
    ...names.filter((name) => !name.endsWith('.json')),
    ...names.filter((name) => name.endsWith('.json')),
  ];
}
