import { spawnSync } from 'node:child_process'
import { globSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { valleyFile } from '../support/load-valley.ts'
import type { Change } from './changes.ts'
import { testsOf } from './tests-of.ts'

/** Makes one change after the other, runs the tests that should see it, and prints the survivors and the kill rate. */
export async function tryChanges(all: Change[], every: number): Promise<void> {
  const changes = all.filter((_, place) => place % every === 0)
  if (!changes.length) return
  const valley = mkdtempSync(join(tmpdir(), 'commonweir-valley-'))
  process.env.COMMONWEIR_TEST_VALLEY = valley
  await valleyFile()
  const readers = readersOf(changes)
  let killed = 0
  for (const change of changes) {
    const tests = readers.get(change.file) ?? testsOf(change.file)
    if (tests.length && !passes(tests, { MUTANT: JSON.stringify(change) })) killed++
    else console.log(`survived  ${placeOf(change)}\n  - ${change.was}\n  + ${change.becomes}`)
  }
  rmSync(valley, { recursive: true })
  console.log(`${killed} of ${changes.length} seen: ${Math.round((100 * killed) / changes.length)} per cent`)
}

const OPENS_PAGES = /(visitor|valley|book|farm|support|shown)\.ts'/

/** Which tests show each template, found by running the room's tests once; a template that none shows has none. */
function readersOf(changes: Change[]): Map<string, string[]> {
  const views = [...new Set(changes.map(({ file }) => file).filter((file) => file.endsWith('.eta')))]
  const readers = new Map<string, string[]>(views.map((view) => [view, []]))
  if (!views.length) return readers
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-mutants-'))
  const note = join(folder, 'read')
  const near = views.flatMap((view) => [...testsOf(view), ...testsOf(view.split('/', 2).join('/'))])
  const tests = [
    ...new Set([...near, ...globSync(['tests/web/figures-*.test.ts', 'tests/web/figures/*.test.ts'])]),
  ].filter((test) => OPENS_PAGES.test(readFileSync(test, 'utf8')))
  if (!passes(tests, { TEMPLATES_READ: note })) throw new Error('the tests fail without any change')
  for (const line of new Set(readFileSync(note, 'utf8').trim().split('\n'))) {
    const [view, test] = line.split(' ')
    readers.get(view!)?.push(test!)
  }
  rmSync(folder, { recursive: true })
  return readers
}

function passes(tests: string[], env: Record<string, string>): boolean {
  const vitest = ['node_modules/vitest/vitest.mjs', 'run', '--config', 'tests/mutants/vitest.config.ts', ...tests]
  return spawnSync(process.execPath, vitest, { env: { ...process.env, ...env }, stdio: 'ignore' }).status === 0
}

function placeOf({ file, at }: Change): string {
  return `${file}:${readFileSync(file, 'utf8').slice(0, at).split('\n').length}`
}
