/** `npm run bench` runs every bench, `npm run bench -- models --quick` one of them with what follows its name. */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const benches: Readonly<Record<string, string>> = {
  models: './models/models.ts',
  captures: './captures.ts',
  sums: './sums.ts',
  store: './store.ts',
  scale: './scale.ts',
  swings: './swings.ts',
  notebooks: './notebooks.ts',
};
const [name, ...rest] = process.argv.slice(2);
if (name !== undefined && !Object.hasOwn(benches, name)) {
  console.error(`No bench ${name}; there are ${Object.keys(benches).join(', ')}.`);
  process.exit(2);
}
for (const bench of name === undefined ? Object.keys(benches) : [name]) {
  console.log(`\n${bench}`);
  const program = fileURLToPath(new URL(benches[bench]!, import.meta.url));
  const { status } = spawnSync(process.execPath, ['--import', 'tsx', program, ...rest], { stdio: 'inherit' });
  if (status !== 0) process.exit(status ?? 1);
}
