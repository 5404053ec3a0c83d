import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: { maxWorkers: 2, isolate: false, testTimeout: 60_000, setupFiles: ['tests/property-seed.ts'] },
});
