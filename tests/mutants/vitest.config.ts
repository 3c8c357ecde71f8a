import { mergeConfig } from 'vitest/config'
import own from '../../vitest.config.ts'
import { changed } from './changes.ts'

const change = JSON.parse(process.env.MUTANT ?? 'null')

/** The tests as ever, with one change in the code or in a template. */
export default mergeConfig(own, {
  root: `${import.meta.dirname}/../..`,
  plugins: [
    {
      name: 'one change',
      enforce: 'pre' as const,
      transform: (text: string, file: string) => changed(file, text, change),
    },
  ],
  // Kept transforms would hand back the unchanged code: the file itself is as ever.
  test: { fsModuleCache: false, setupFiles: ['tests/mutants/templates.ts'], bail: 1, maxWorkers: 1 },
})
