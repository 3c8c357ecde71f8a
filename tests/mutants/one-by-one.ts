import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, relative } from 'node:path'
import { valleyFile } from '../support/load-valley.ts'
import type { Change } from './changes.ts'
import { testsOf } from './tests-of.ts'

/** Makes one change after the other, runs the tests that should see it, and prints the survivors and the kill rate. */
export async function tryChanges(all: Change[], every: number): Promise<void> {
  const changes = all.filter((_, place) => place % every === 0)
  if (!changes.length) return
  const valley = mkdtempSync(join(tmpdir(), 'commonweir-valley-'))
  process.env.COMMONWEIR_TEST_VALLEY ??= valley
  await valleyFile()
  let killed = 0
  for (const change of changes) {
    const seenBy = failingWith(change)
    if (seenBy) killed++
    console.log(seenBy ? `seen      ${placeOf(change)}  by ${seenBy}` : `survived  ${placeOf(change)}`)
    if (!seenBy) console.log(`  - ${change.was}\n  + ${change.becomes}`)
  }
  rmSync(valley, { recursive: true })
  console.log(`${killed} of ${changes.length} seen: ${Math.round((100 * killed) / changes.length)} per cent`)
}

/** The test that a change makes fail; one that fails without it too has seen nothing. */
function failingWith(change: Change): string | null {
  let tests = testsOf(change.file)
  for (;;) {
    const seenBy = tests.length ? firstFailing(tests, change) : null
    if (seenBy === null || seenBy === ENDLESS || passesUnchanged(seenBy)) return seenBy
    console.log(`fails unchanged, not asked: ${seenBy}`)
    tests = tests.filter((test) => test !== seenBy)
  }
}

const unchanged = new Map<string, boolean>()

function passesUnchanged(test: string): boolean {
  const passes = unchanged.get(test) ?? firstFailing([test], null) === null
  unchanged.set(test, passes)
  return passes
}

/** A change that keeps the tests from ending is seen too. */
const AT_MOST_MS = 900_000
const ENDLESS = 'tests that did not end'

/** The nearest test is run first, and none after one that fails. */
function firstFailing(tests: string[], change: Change | null): string | null {
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-mutant-'))
  const report = join(folder, 'report.json')
  const options = ['--config', 'tests/mutants/vitest.config.ts', '--reporter', 'json', '--outputFile', report]
  const told = { ...process.env, MUTANT: JSON.stringify(change), NEAREST_FIRST: JSON.stringify(tests) }
  const run = spawnSync(process.execPath, ['node_modules/vitest/vitest.mjs', 'run', ...options, ...tests], {
    env: told,
    stdio: 'ignore',
    timeout: AT_MOST_MS,
  })
  const failed = run.status === 0 ? null : existsSync(report) ? failedIn(readFileSync(report, 'utf8')) : ENDLESS
  rmSync(folder, { recursive: true })
  return failed
}

function failedIn(report: string): string {
  const { testResults } = JSON.parse(report) as { testResults: { name: string; status: string }[] }
  return relative(process.cwd(), testResults.find(({ status }) => status === 'failed')!.name)
}

function placeOf({ file, at }: Change): string {
  return `${file}:${readFileSync(file, 'utf8').slice(0, at).split('\n').length}`
}
