import { existsSync } from 'node:fs'
import { configDefaults, defineConfig } from 'vitest/config'
import { BaseSequencer, type TestSpecification } from 'vitest/node'
import { CHROMIUM } from './tests/support/browser.ts'

/** They take minutes or half minutes, whatever their size: begun first, they do not keep one worker waiting at the end. */
export const LONGEST = [
  'browser/pages',
  'speed/statements',
  'browser/guides/paths',
  'faults/forms-fuzz',
  'speed/kept',
  'faults/file/book-file',
  'fees/privacy-attack',
  'faults/each-act-once',
  'browser/taps',
  'browser/prints',
  'home/other-days',
  'book/tampering',
  'seed/valley',
  'rotation/allocation/against-highs',
  'rotation/outcome/made-good',
  'rotation/share/reasons',
  'faults/start',
  'faults/file/restore',
  'browser/marks',
  'crops/weather/page',
  'home/practice',
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
const IN_BROWSER = ['guides/paths', 'keyboard', 'marks', 'pages', 'prints', 'taps'].map(
  (name) => `tests/browser/${name}.test.ts`,
)
const withoutBrowser = !process.env.CI && !existsSync(CHROMIUM)
if (withoutBrowser)
  console.warn(`No browser at ${CHROMIUM} (CHROMIUM may name another): ${IN_BROWSER.join(', ')} left out.`)

/** Said by `npm run mutants`, whose changes are put in on the way through Vite, and in threads, which take no such room. */
const planted = process.env.PLANTED_CHANGES !== undefined

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: [
      ...configDefaults.exclude,
      ...(process.env.TEST_POSTGRES ? [] : ['tests/postgres/**']),
      ...(withoutBrowser ? IN_BROWSER : []),
    ],
    globalSetup: 'tests/support/load-valley.ts',
    setupFiles: process.env.PROPERTY_TIMES ? ['tests/support/more-runs.ts'] : [],
    // Long enough for a busy machine; no test is timed.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    maxWorkers: 2,
    // A test book lives for a moment: with room for what is young, a tenth of the processor time is not spent on clearing up.
    execArgv: planted ? [] : ['--max-semi-space-size=64'],
    isolate: false,
    sequence: { sequencer: LongestFirst },
    // As Node reads them itself, without Vite between a name and what it stands for, sums take a tenth less and pages a twentieth.
    experimental: { viteModuleRunner: planted, nodeLoader: planted },
  },
})
