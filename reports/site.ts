/**
 * `npm run site`: builds the documentation site into the folder `site/`, which git does not keep; `npm run site -- --out DIR` into
 * another one. A folder that is not a site as it was built is left as it is.
 */
import { site } from './site/site-files.ts';
import { ForeignFolderError, writeSite } from './site/write-site.ts';

const out = process.argv.indexOf('--out');
const folder = out < 0 ? 'site' : process.argv[out + 1];
if (folder === undefined) {
  console.error('npm run site -- --out DIR: say which folder.');
  process.exitCode = 2;
} else {
  try {
    const { files, bytes } = await writeSite(folder, site());
    console.log(`${files} files, ${(bytes / 1e6).toFixed(1)} MB. Open ${folder}/index.html in a browser.`);
  } catch (error) {
    if (!(error instanceof ForeignFolderError)) throw error;
    console.error(error.message);
    process.exitCode = 1;
  }
}
