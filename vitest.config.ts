import { configDefaults, defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';
import { compiledSources } from './tests/compiled-sources.js';

/** A module spied on must be loaded anew; all other files share theirs, which halves the time they take to load. */
const alone = ['tests/text/everyday-yaml.test.ts'];

/** What takes longest, first, so that both workers end together; a fresh clone has no times of an earlier run to go by. */
const dearest = [
  'diagnose/next-safety',
  'cli/process',
  'cli/scenarios',
  'cli/answers',
  'cli/batch/batch-process',
  'examples/answers',
  'cli/self-consistency',
  'cli/hostile',
  'draw/geometry',
].map((name) => `tests/${name}.test.ts`);

class DearestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId }: TestSpecification) => {
      const found = dearest.findIndex((name) => moduleId.endsWith(name));
      return found === -1 ? dearest.length : found;
    };
    return (await super.sort(files)).sort((a, b) => rank(a) - rank(b));
  }
}

export default defineConfig({
  test: {
    maxWorkers: 2,
    sequence: { sequencer: DearestFirst },
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
