/** Replaces a folder over and over, for the test that kills it: the folder, and the number to begin with. */
import { replaceFolder } from '../../src/dataset/replace-folder.ts';

const [folder, first] = process.argv.slice(2) as [string, string];
process.stdout.write('begun\n');
for (let round = Number(first); ; round += 1) {
  await replaceFolder(folder, async (made) => {
    for (let file = 0; file < 4; file += 1)
      await made.put(`part/${file % 2}/${file}.txt`, `${round}\n`.repeat(50));
    await made.keep('kept.txt');
    return 'replace';
  });
}
