import { Stryker } from '@stryker-mutator/core'
import { testsOf } from './tests-of.ts'

/** Words are left as they are: an error's code or a column's name changed is seen by any test that comes near it. */
const LEFT = ['StringLiteral', 'Regex']

/** Stryker's changes in files of the program, judged by the tests that should see them; it prints each survivor and the kill rate. */
export async function mutateCode(files: string[]): Promise<void> {
  await new Stryker({
    mutate: files,
    testFiles: [...new Set(files.flatMap(testsOf))].sort(),
    testRunner: 'vitest',
    plugins: ['@stryker-mutator/vitest-runner'],
    vitest: { related: false },
    mutator: { excludedMutations: LEFT },
    ignorePatterns: ['dist', '*.sqlite*', 'docs'],
    ignoreStatic: true,
    concurrency: 1,
    timeoutMS: 60_000,
    reporters: ['clear-text'],
    clearTextReporter: { logTests: false, reportTests: false },
    allowConsoleColors: false,
    tempDirName: '.mutants',
    tsconfigFile: 'none.json', // It would ask a TypeScript that has no programming interface any more.
  }).runMutationTest()
}
