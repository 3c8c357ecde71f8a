import { mergeConfig } from 'vitest/config'
import type { TestSpecification } from 'vitest/node'
import own from '../../vitest.config.ts'
import { changed } from './changes.ts'

const change = JSON.parse(process.env.MUTANT ?? 'null')
const tests: string[] = JSON.parse(process.env.NEAREST_FIRST ?? '[]')

/** In the order that was asked for: the nearest test most often sees a change, and none is run after it. */
class NearestFirst {
  async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification) => tests.findIndex((test) => moduleId.endsWith(`/${test}`))
    return files.toSorted((a, b) => place(a) - place(b))
  }

  async shard(files: TestSpecification[]): Promise<TestSpecification[]> {
    return files
  }
}

/** The valley is there before the first change: to ask for it here would read the whole program once more for each. */
const withoutValley = { ...own, test: { ...own.test, globalSetup: [] } }

/** The tests as ever, with one change in the code or in a template. */
export default mergeConfig(withoutValley, {
  root: `${import.meta.dirname}/../..`,
  plugins: [
    {
      name: 'one change',
      enforce: 'pre' as const,
      transform: (text: string, file: string) => changed(file, text, change),
      // Transforms are kept from one change to the next, all but that of the changed file: the file itself is as ever.
      configureVitest: ({ defineCacheKeyGenerator }: { defineCacheKeyGenerator: (key: KeyOf) => void }) =>
        defineCacheKeyGenerator(({ id }) => (change && id.endsWith(`/${change.file}`) ? false : undefined)),
    },
  ],
  test: {
    fsModuleCache: true,
    setupFiles: ['tests/mutants/templates.ts'],
    bail: 1,
    maxWorkers: 1,
    sequence: { sequencer: NearestFirst },
  },
})

type KeyOf = (module: { id: string }) => false | undefined
