/** Reports set against what they came from, and packed to be handed on. */

export { zipArchive } from './archive.ts';
export { findChromium, pagePdf } from './chromium.ts';
export { compareDocuments, type Difference } from './compare.ts';
export { CRATE_FILE, type CrateAbout, type CrateFile, crateMetadata } from './crate.ts';
export { archiveReadme, type ReadmeParts } from './readme.ts';
