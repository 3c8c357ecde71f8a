import { spawnSync } from 'node:child_process'
import { globSync, readFileSync } from 'node:fs'

const TIMES = '100'

/**
 * Draws every property a hundred times as often as the test line does, all of them or those whose files are named on the
 * command line. A day that it finds is written into the tests as an example of its own.
 */
const asked = process.argv.slice(2)
const files = globSync('tests/**/*.test.ts')
  .filter((file) => /fc\.assert|support\/runs\.ts/.test(readFileSync(file, 'utf8')))
  .filter((file) => asked.length === 0 || asked.some((name) => file.includes(name)))
const vitest = ['node_modules/vitest/vitest.mjs', 'run', '--testTimeout=86400000', ...files]
const env = { ...process.env, PROPERTY_TIMES: TIMES }
process.exitCode = spawnSync(process.execPath, vitest, { env, stdio: 'inherit' }).status ?? 1
