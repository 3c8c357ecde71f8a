import { defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** They take minutes or half minutes, whatever their size: begun first, they do not keep one worker waiting at the end. */
const LONGEST = ['browser/pages', 'seed/valley', 'faults/forms-fuzz', 'fees/page-privacy-attack', 'faults/start']

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification) => {
      const at = LONGEST.findIndex((name) => moduleId.includes(`/tests/${name}`))
      return at < 0 ? LONGEST.length : at
    }
    return (await super.sort(files)).toSorted((a, b) => place(a) - place(b))
  }
}

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    globalSetup: 'tests/support/load-valley.ts',
    testTimeout: 60_000,
    hookTimeout: 60_000,
    maxWorkers: 2,
    isolate: false,
    sequence: { sequencer: LongestFirst },
  },
})
