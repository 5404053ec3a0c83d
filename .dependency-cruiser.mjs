// The floors of the house, lowest first. A file may import its own floor and floors below it.
const floors = [
  'text',
  'circuit',
  'solve',
  'meter',
  'diagnose',
  'practice',
  'draw',
  'report',
  'answer',
  'cli',
];

const downOnly = floors.slice(0, -1).map((floor, index) => ({
  name: `down-only-${floor}`,
  comment: `${floor} may not know what stands above it`,
  severity: 'error',
  from: { path: `^src/${floor}/` },
  to: { path: `^src/(${floors.slice(index + 1).join('|')})/` },
}));

const oneHome = [
  ['yaml', 'text'],
  ['csv-parse', 'text'],
  ['ajv', 'text'],
  ['chalk', 'report'],
  ['cli-table3', 'report'],
  ['commander', 'cli'],
  ['ignore', 'cli'],
  ['picomatch', 'cli'],
].map(([library, home]) => ({
  name: `one-home-${library}`,
  comment: `${library} is used in ${home} only, so that it can be changed in one place`,
  severity: 'error',
  from: { path: '^src/', pathNot: `^src/${home}/` },
  to: { path: `node_modules/${library}/` },
}));

export default {
  forbidden: [
    ...downOnly,
    ...oneHome,
    {
      name: 'front-door',
      comment: 'another floor is entered through its front door, src/FLOOR/FLOOR.ts',
      severity: 'error',
      from: { path: '^src/([^/]+)/' },
      to: { path: '^src/([^/]+)/', pathNot: ['^src/$1/', '^src/([^/]+)/\\1\\.ts$'] },
    },
    {
      name: 'edges-only',
      comment: 'only the cli floor touches disk, process and terminal',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/cli/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'report-reads',
      comment:
        'report reads answers and never computes: types only, but for text (source lines), draw (the arithmetic of paper) and its own words',
      severity: 'error',
      from: { path: '^src/report/' },
      to: { path: '^src/(circuit|solve|meter|diagnose|practice)/', dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'no-cycles',
      comment: 'a cycle has no lowest floor',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'no-orphans',
      comment: 'a file nobody imports is dead',
      severity: 'error',
      from: { orphan: true, path: '^src/', pathNot: ['\\.d\\.ts$'] },
      to: {},
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
    },
  },
};
