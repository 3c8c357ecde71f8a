import { spawnSync } from 'node:child_process'
import { startPostgres } from './server.ts'

/** What runs there; docs/running.md tells what does not and why. */
const USUAL = ['tests/postgres', 'tests/book']

/** Starts a server, runs the tests with their books on it, and takes it away again: those of a folder or file where one is named. */
const asked = process.argv.slice(2)
const server = await startPostgres()
try {
  const { status } = spawnSync('vitest', ['run', '--maxWorkers=1', ...(asked.length > 0 ? asked : USUAL)], {
    env: { ...process.env, TEST_POSTGRES: server.url('postgres') },
    stdio: 'inherit',
  })
  process.exitCode = status ?? 1
} finally {
  await server.stop()
}
