// All tests run from here: unit tests beside the code, checks against the outside world, the command, the browser.
import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['src/**/*.test.ts', 'demo/**/*.test.ts', 'tests/**/*.test.ts'],
    setupFiles: ['./tests/fixed-seed.ts'],
    testTimeout: 120_000,
    hookTimeout: 180_000,
    pool: 'forks',
    reporters: ['default', './tests/plain-count-reporter.ts'],
    maxWorkers: 2,
  },
})
