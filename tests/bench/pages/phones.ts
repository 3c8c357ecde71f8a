import { type ChildProcess, spawn } from 'node:child_process'
import { copyFileSync, mkdtempSync, rmSync } from 'node:fs'
import { Agent, request } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { addDays } from '../../../domain/calendar.ts'
import { openDatabase } from '../../../server/database/connection.ts'
import { migrateToLatest } from '../../../server/database/migrate.ts'
import { projectFolder } from '../../../server/project-folder.ts'
import { shown } from '../measure.ts'
import { everyOffice } from './measured.ts'

const PHONES = 30
const EVERY_MS = 250
const FOR_MS = 4000
const PORT = 41_873
const LIGHT = ['/log/faults', '/turns', '/water', '/people', '/turns/asked']
const agent = new Agent({ keepAlive: true, maxSockets: 100 })

/** Thirty phones look at light pages of the program in a process of its own, quiet and while somebody looks at draft after draft. */
export async function phonesBeside(file: string): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'commonweir-phones-'))
  const copy = join(folder, 'book.sqlite')
  copyFileSync(file, copy)
  const db = openDatabase(copy)
  await migrateToLatest(db)
  const cookie = await everyOffice(db, new Date())
  await db.destroy()
  const program = spawn(process.execPath, ['server/run.js', 'main'], {
    cwd: projectFolder(),
    env: { ...process.env, DATABASE: copy, PORT: String(PORT), HOST: '127.0.0.1' },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  try {
    const startMs = await started(program)
    for (const path of LIGHT) await askedMs(path, cookie)
    const quiet = await phones(cookie)
    const busy = drafts(cookie)
    const beside = await phones(cookie)
    const looked = await busy
    const [p99, p99Beside] = [hundredth(quiet), hundredth(beside)]
    return [
      `start until it listens: ${shown(startMs)} ms`,
      `${PHONES} phones, p99 quiet ${shown(p99)} ms, beside ${looked} drafts and outlooks ${shown(p99Beside)} ms: ${(p99Beside / p99).toFixed(1)} times (goal: at most 2)`,
    ]
  } finally {
    program.kill()
    await new Promise((done) => program.once('exit', done))
    rmSync(folder, { recursive: true })
  }
}

async function started(program: ChildProcess): Promise<number> {
  const from = performance.now()
  await new Promise<void>((listening) =>
    program.stdout!.on('data', (text) => /open http/.test(String(text)) && listening()),
  )
  return performance.now() - from
}

async function phones(cookie: string): Promise<number[]> {
  const all = await Promise.all(Array.from({ length: PHONES }, (_, at) => phone(cookie, at)))
  return all.flat()
}

async function phone(cookie: string, at: number): Promise<number[]> {
  const taken: number[] = []
  await wait((EVERY_MS * at) / PHONES)
  for (let looked = 0; looked < FOR_MS / EVERY_MS; looked++) {
    taken.push(await askedMs(LIGHT[(at + looked) % LIGHT.length]!, cookie))
    await wait(EVERY_MS)
  }
  return taken
}

/** Each draft is another week, so that none is kept; the outlook and the working of the planting between them. */
async function drafts(cookie: string): Promise<number> {
  const from = performance.now()
  let looked = 0
  const monday = '2026-11-30'
  for (; performance.now() - from < FOR_MS && looked < 12; looked++) {
    await askedMs(`/turns/weeks/${addDays(monday, 7 * looked)}`, cookie)
    if (looked === 2) await askedMs('/water/lasts', cookie)
    if (looked === 4) await askedMs('/crops/working/planting', cookie)
  }
  return looked
}

function askedMs(path: string, cookie: string): Promise<number> {
  const from = performance.now()
  return new Promise((done, failed) => {
    const asked = request({ host: '127.0.0.1', port: PORT, path, agent, headers: { cookie } }, (answer) => {
      answer.resume()
      answer.once('end', () => done(performance.now() - from))
    })
    asked.once('error', failed)
    asked.end()
  })
}

/** What ninety-nine of a hundred are below. */
function hundredth(taken: readonly number[]): number {
  return taken.toSorted((a, b) => a - b)[Math.floor(taken.length * 0.99)]!
}
