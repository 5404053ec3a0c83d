// Bundles the program into dist/. CommonJS and few files, for start-up is paid at every call: main.cjs has the outside,
// program.cjs arguments and help, everyday.cjs the commands called most and further.cjs the others, of which a process
// loads one. What most runs never need (the full YAML reader, the formatter, the CSV parser, globs, colour) stands in
// files of its own, required when first called.
import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import ts from 'typescript';
import { putInPlace } from './put-in-place.mjs';

const root = fileURLToPath(new URL('..', import.meta.url));
const dist = `${root}/dist`;
/** Where a build grows, for nothing of it is to be seen before it is whole; each has its own. */
const aside = `${root}/dist.${process.pid}.tmp`;
const { version } = JSON.parse(readFileSync(`${root}/package.json`, 'utf8'));

/** The same functions, loaded when one of them is first called. */
function lateFunctions(file, names) {
  return names
    .map((name) => `export const ${name} = (...given) => require('${file}').${name}(...given);`)
    .join('\n');
}

/** Modules that stand apart: how they are imported, the bundle they become, and what is put in their place. */
const apart = [
  {
    filter: /\/read-yaml\.js$/,
    entry: 'src/text/read-yaml.ts',
    file: 'full-yaml.cjs',
    late: lateFunctions('../dist/full-yaml.cjs', ['readYaml', 'readComments']),
  },
  {
    filter: /\/format-yaml\.js$/,
    entry: 'src/text/format-yaml.ts',
    file: 'format-yaml.cjs',
    late: "export const formatYaml = (text) => require('../dist/format-yaml.cjs').formatYaml(text);",
  },
  {
    filter: /^csv-parse\/sync$/,
    entry: 'csv-parse/sync',
    file: 'csv-parse.cjs',
    late: "export const parse = (...given) => require('../dist/csv-parse.cjs').parse(...given);",
  },
  {
    filter: /\/rule-docs\.js$/,
    entry: 'src/report/rules/rule-docs.ts',
    file: 'rule-docs.cjs',
    late: lateFunctions('../dist/rule-docs.cjs', ['ruleDocOf', 'isRule']),
  },
  {
    filter: /\/match-names\.js$/,
    entry: 'src/cli/match-names.ts',
    file: 'match-names.cjs',
    late: lateFunctions('../dist/match-names.cjs', ['readGlob', 'readIgnores']),
  },
  // What seals exercises needs Node's cryptography, which takes as long to load as half the commands.
  {
    filter: /\/seal\.js$/,
    entry: 'src/cli/seal.ts',
    file: 'seal.cjs',
    late: lateFunctions('../dist/seal.cjs', ['sealingKey', 'sealed', 'opened', 'lineSeal', 'fingerprintOf']),
  },
  // The table library measures each cell: what is printable ASCII takes as many columns as it has characters.
  {
    filter: /^string-width$/,
    entry: 'string-width',
    file: 'string-width.cjs',
    late: "module.exports = (text) => /^[ -~]*$/.test(text) ? text.length : require('../dist/string-width.cjs')(text);",
  },
  {
    filter: /^chalk$/,
    entry: 'chalk',
    file: 'chalk.cjs',
    late: "export function Chalk(options) { return new (require('../dist/chalk.cjs').Chalk)(options); }",
  },
];

const late = {
  name: 'late',
  setup({ onResolve, onLoad }) {
    for (const { filter, late: contents } of apart) {
      onResolve({ filter }, ({ kind }) =>
        kind === 'entry-point' ? undefined : { path: contents, namespace: 'late' },
      );
    }
    onLoad({ filter: /./, namespace: 'late' }, ({ path }) => ({ contents: path, resolveDir: root }));
    onResolve({ filter: /^\.\.\/dist\/[\w-]+\.cjs$/, namespace: 'late' }, ({ path }) => ({
      path,
      external: true,
    }));
  },
};

/** commander can start programs, and this one never does: loading what could takes longer than printing the help. */
const withoutSpawn = {
  name: 'without-spawn',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^node:child_process$/ }, ({ path }) => ({ path, namespace: 'without-spawn' }));
    onLoad({ filter: /./, namespace: 'without-spawn' }, () => ({ contents: 'module.exports = {};' }));
  },
};

/** The bundles that bin/load.js loads with their kept code, by the module each begins with. */
const kept = {
  './cli.js': 'main',
  './run-program.js': 'program',
  './commands/everyday.js': 'everyday',
  './commands/further.js': 'further',
};

/** Where one of them imports another, it asks the loader for it. */
const keptApart = {
  name: 'kept-apart',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^\.\// }, ({ path, kind }) =>
      kind === 'dynamic-import' && Object.hasOwn(kept, path)
        ? { path: kept[path], namespace: 'kept' }
        : undefined,
    );
    onLoad({ filter: /./, namespace: 'kept' }, ({ path }) => ({
      contents: `module.exports = load('${path}');`,
    }));
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
  // Half of a cold start is reading the program: short names cost nothing but the looks of a stack.
  minify: true,
  legalComments: 'linked',
  logLevel: 'warning',
};

/** As bin/load.js takes it: a function of what Node gives to a module, and of the loader. */
const wrapped = {
  banner: { js: '(function(exports,require,module,__filename,__dirname,load){' },
  footer: { js: '})' },
};

/** Tables and colours are for the program: the library imports nothing of what uses them, which leaves them out. */
const withoutTerminal = {
  name: 'without-terminal',
  setup({ onResolve }) {
    onResolve({ filter: /^(?:cli-table3|chalk)$/ }, ({ path }) => ({
      path,
      external: true,
      sideEffects: false,
    }));
  },
};

/**
 * What a TypeScript user sees of the library: the declarations of its entry and of what those refer to, each from its
 * own file alone (isolatedDeclarations), in folders as the sources are.
 */
function writeTypes(entry) {
  const { compilerOptions } = ts.parseConfigFileTextToJson(
    '',
    readFileSync(`${root}/tsconfig.json`, 'utf8'),
  ).config;
  const options = ts.convertCompilerOptionsFromJson({ ...compilerOptions, noEmit: false }, root).options;
  const pending = [entry];
  for (const file of pending) {
    const source = readFileSync(`${root}/src/${file}`, 'utf8');
    const { outputText } = ts.transpileDeclaration(source, { fileName: file, compilerOptions: options });
    const target = `${aside}/types/${file.replace(/\.ts$/, '.d.ts')}`;
    mkdirSync(dirname(target), { recursive: true });
    writeFileSync(target, outputText);
    for (const [, path] of outputText.matchAll(/from '(\.[^']+)\.js'/g)) {
      const next = join(dirname(file), `${path}.ts`);
      if (!pending.includes(next)) pending.push(next);
    }
  }
}

const programs = () =>
  Promise.all([
    ...Object.entries(kept).map(([module, name]) =>
      build({
        ...common,
        ...wrapped,
        entryPoints: [join('src/cli', module.replace(/\.js$/, '.ts'))],
        outfile: `${aside}/${name}.cjs`,
        external: ['piscina'],
        plugins: [keptApart, withoutSpawn, late],
      }),
    ),
    // The library stands by itself in one file, without a module of Node's, so that a browser can load it as it is.
    build({
      ...common,
      entryPoints: ['src/library.ts'],
      outfile: `${aside}/library.js`,
      platform: 'browser',
      target: 'es2022',
      format: 'esm',
      alias: { 'csv-parse/sync': 'csv-parse/browser/esm/sync' },
      plugins: [withoutTerminal],
    }),
    ...apart.map(({ entry, file }) =>
      build({ ...common, entryPoints: [entry], outfile: `${aside}/${file}` }),
    ),
  ]);

try {
  await programs();
  writeTypes('library.ts');
  mkdirSync(dist, { recursive: true });
  putInPlace(aside, dist, {
    // V8 knows code by the length of its source alone: what was kept of another build must be gone before this one is.
    beforeEach: (file) => {
      if (file.endsWith('.cjs')) rmSync(`${dist}/${file.replace(/\.cjs$/, '.code')}`, { force: true });
    },
    isKept: (file) => file.includes('.code'),
  });
} finally {
  rmSync(aside, { recursive: true, force: true });
}
for (const name of Object.values(kept))
  execFileSync(process.execPath, [`${root}/bin/keep-code.js`, name], {
    stdio: ['ignore', 'ignore', 'inherit'],
  });
