import { type ChildProcess, execFileSync, spawn } from 'node:child_process'
import { once } from 'node:events'
import { chownSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'

/** Where Debian's package puts the programs of each version. */
const PROGRAMS = '/usr/lib/postgresql'
/** A server that only tests speak to, and that is thrown away: nothing of it has to outlive a power cut. */
const SETTINGS = {
  listen_addresses: '',
  fsync: 'off',
  synchronous_commit: 'off',
  full_page_writes: 'off',
  max_connections: '600',
  max_locks_per_transaction: '512',
}

export interface Server {
  /** Without the name of a database. */
  url(database: string, schema?: string): string
  stop(): Promise<void>
}

/** A server of PostgreSQL on a socket of its own, in a folder of its own, that is thrown away at its end. */
export async function startPostgres(): Promise<Server> {
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-postgres-'))
  const as = ordinaryAccount(folder)
  const data = join(folder, 'data')
  execFileSync(
    program('initdb'),
    ['-D', data, '-A', 'trust', '-U', 'book', '--no-sync', '-E', 'UTF8', '--locale=C.UTF-8'],
    {
      ...as,
      stdio: 'ignore',
    },
  )
  const settings = Object.entries({ ...SETTINGS, unix_socket_directories: folder }).flatMap(([name, to]) => [
    '-c',
    `${name}=${to}`,
  ])
  const server = spawn(program('postgres'), ['-D', data, ...settings], { ...as, stdio: 'ignore' })
  while (!existsSync(join(folder, '.s.PGSQL.5432'))) {
    if (server.exitCode !== null) throw new Error('the server of PostgreSQL did not start')
    await wait(50)
  }
  return {
    url: (database, schema) => `postgres://book@/${database}?host=${folder}${schema ? `&schema=${schema}` : ''}`,
    stop: () => stopped(server, folder),
  }
}

async function stopped(server: ChildProcess, folder: string): Promise<void> {
  const ended = once(server, 'exit')
  // At once, whoever is still connected.
  server.kill('SIGQUIT')
  await ended
  rmSync(folder, { recursive: true, force: true })
}

function program(name: string): string {
  const [newest] = (existsSync(PROGRAMS) ? readdirSync(PROGRAMS) : []).sort((a, b) => Number(b) - Number(a))
  if (!newest) throw new Error('PostgreSQL is not there: apt-get install -y postgresql')
  return join(PROGRAMS, newest, 'bin', name)
}

/** It refuses to run for the account that may do everything; the package made one of its own. */
function ordinaryAccount(folder: string): { uid?: number; gid?: number; cwd: string } {
  if (process.getuid?.() !== 0) return { cwd: folder }
  const [uid, gid] = ['-u', '-g'].map((what) => Number(execFileSync('id', [what, 'postgres']).toString()))
  chownSync(folder, uid!, gid!)
  return { uid: uid!, gid: gid!, cwd: folder }
}
