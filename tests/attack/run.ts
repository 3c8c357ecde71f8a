import { spawnSync } from 'node:child_process'

const TIMES = '10'
/** What tries to break in, to break the book or to change its past; each begins a book of its own. */
const ATTACKS = [
  'tests/faults/forms-fuzz',
  'tests/faults/power-cut',
  'tests/faults/pressed-at-once',
  'tests/faults/hashing',
  'tests/house/access',
  'tests/house/acts-by-object',
  'tests/house/routes',
  'tests/people/door',
  'tests/people/grave-acts',
  'tests/people/meeting/own-matter',
  'tests/people/sign-in',
  'tests/book/every-cell',
  'tests/book/tampering',
  'tests/book/check/forged-book',
]

/** Every attack ten times as long as in the test line, or those named on the command line, with its figures. */
const asked = process.argv.slice(2)
const files = ATTACKS.filter((file) => asked.length === 0 || asked.some((name) => file.includes(name)))
const vitest = ['node_modules/vitest/vitest.mjs', 'run', '--testTimeout=86400000', '--hookTimeout=86400000', ...files]
const env = { ...process.env, ATTACK_TIMES: TIMES }
process.exitCode = spawnSync(process.execPath, vitest, { env, stdio: 'inherit' }).status ?? 1
