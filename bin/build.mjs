// Bundles the program into dist/: main.cjs (arguments, help) and commands.cjs (everything else, loaded once a
// command runs). CommonJS and few files, for start-up is paid at every call.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('..', import.meta.url));
const { version } = JSON.parse(readFileSync(`${root}/package.json`, 'utf8'));

/** The commands are a bundle of their own: an import of them from the option table becomes a late require. */
const commandsApart = {
  name: 'commands-apart',
  setup({ onResolve }) {
    onResolve({ filter: /commands\/commands\.js$/ }, () => ({ path: './commands.cjs', external: true }));
  },
};

const common = {
  absWorkingDir: root,
  bundle: true,
  platform: 'node',
  target: 'node20',
  format: 'cjs',
  supported: { 'dynamic-import': false },
  define: { LOADSIDE_VERSION: JSON.stringify(version) },
  legalComments: 'linked',
  logLevel: 'warning',
};

await build({
  ...common,
  entryPoints: ['src/cli/cli.ts'],
  outfile: 'dist/main.cjs',
  plugins: [commandsApart],
});
await build({ ...common, entryPoints: ['src/cli/commands/commands.ts'], outfile: 'dist/commands.cjs' });
