import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: 'tests/support/load-valley.ts',
    testTimeout: 60_000,
    hookTimeout: 60_000,
    maxWorkers: 2,
    isolate: false,
  },
})
