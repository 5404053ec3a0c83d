import { configDefaults, defineConfig } from 'vitest/config';
import { compiledSources } from './tests/compiled-sources.js';

/** A module spied on must be loaded anew; all other files share theirs, which halves the time they take to load. */
const alone = ['tests/text/everyday-yaml.test.ts'];

export default defineConfig({
  test: {
    maxWorkers: 2,
    testTimeout: 60_000,
    setupFiles: ['tests/property-seed.ts'],
    projects: [
      {
        extends: true,
        plugins: [compiledSources()],
        test: {
          name: 'shared',
          isolate: false,
          globalSetup: ['tests/build-program.ts'],
          exclude: [...configDefaults.exclude, ...alone],
        },
      },
      { extends: true, test: { name: 'alone', include: alone } },
    ],
  },
});
