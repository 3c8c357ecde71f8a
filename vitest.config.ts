import { existsSync } from 'node:fs'
import { configDefaults, defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** They take minutes or half minutes, whatever their size: begun first, they do not keep one worker waiting at the end. */
const LONGEST = [
  'browser/pages',
  'seed/valley',
  'faults/forms-fuzz',
  'faults/each-act-once',
  'fees/privacy-attack',
  'rotation/outcome/made-good',
  'faults/start',
  'web/languages',
  'book/tampering',
  'paper/season',
  'rotation/allocation/against-highs',
]

class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification) => {
      const at = LONGEST.findIndex((name) => moduleId.includes(`/tests/${name}`))
      return at < 0 ? LONGEST.length : at
    }
    return (await super.sort(files)).toSorted((a, b) => place(a) - place(b))
  }
}

/** Left out, and said so, on somebody's own machine without a browser; in CI they are run all the same, and fail. */
const IN_BROWSER = ['tests/browser/keyboard.test.ts', 'tests/browser/pages.test.ts', 'tests/browser/prints.test.ts']
const chromium = process.env.CHROMIUM ?? '/usr/bin/chromium'
const withoutBrowser = !process.env.CI && !existsSync(chromium)
if (withoutBrowser)
  console.warn(`No browser at ${chromium} (CHROMIUM may name another): ${IN_BROWSER.join(', ')} left out.`)

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: [...configDefaults.exclude, ...(withoutBrowser ? IN_BROWSER : [])],
    globalSetup: 'tests/support/load-valley.ts',
    setupFiles: process.env.PROPERTY_TIMES ? ['tests/support/more-runs.ts'] : [],
    // Long enough for a busy machine; no test is timed.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    maxWorkers: 2,
    isolate: false,
    sequence: { sequencer: LongestFirst },
  },
})
