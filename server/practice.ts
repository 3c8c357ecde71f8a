import type { FastifyInstance } from 'fastify'
import { EXAMPLE_TIME_ZONE, loadExample, PASSWORD } from '../seed/load.ts'
import { buildApp } from './app.ts'
import { openDatabase } from './database/connection.ts'
import { migrateToLatest } from './database/migrate.ts'
import { hashPassword } from './people/password.ts'
import { readSettings, startProblem } from './settings.ts'
import { loadLocale } from './web/figures/locale.ts'
import { localDate } from './web/pages/visit.ts'

/** Nobody practises so long without a page: then it ends by itself. Own choice, no source. */
const IDLE_HOURS = 4

/** So many ports after that of the book are tried. Own choice, no source. */
const PORTS_TRIED = 50
const LAST_PORT = 65_535

/**
 * The example valley, to practise on: in the memory of a process of its own, which opens no file, so that it can touch no book. It
 * ends with the program that started it, or by itself when nobody practises, and everything written in it is gone.
 */
const settings = readSettings(process.env)
try {
  await practise()
} catch (error) {
  const problem = startProblem(error, settings)
  if (problem === null) throw error
  console.error(problem)
  process.exit(1)
}

async function practise(): Promise<void> {
  const { HOST, PORT, BOOK_LANGUAGE } = settings
  const db = openDatabase(':memory:')
  await migrateToLatest(db)
  const today = localDate(new Date(), EXAMPLE_TIME_ZONE)
  await loadExample(db, { today, passwordHash: await hashPassword(PASSWORD) })
  const app = await buildApp({ db, now: () => new Date(), claimCode: '', locale: loadLocale(BOOK_LANGUAGE), log: true })
  let idle = setTimeout(end, IDLE_HOURS * 3_600_000)
  app.addHook('onRequest', async () => {
    clearTimeout(idle)
    idle = setTimeout(end, IDLE_HOURS * 3_600_000)
  })
  const port = await listenBeside(app, HOST, PORT)
  console.log(`Practice: open http://${HOST}:${port}/sign-in?as=example (nothing of it is kept)`)
  process.send?.(port)
  process.on('disconnect', end)
}

/** On the first port after that of the book which no other program has; gives it. */
async function listenBeside(app: FastifyInstance, host: string, beside: number): Promise<number> {
  for (let tried = 1; ; tried++) {
    const port = beside + tried <= LAST_PORT ? beside + tried : beside - tried
    try {
      await app.listen({ host, port })
      return port
    } catch (error) {
      if ((error as { code?: unknown }).code !== 'EADDRINUSE' || tried === PORTS_TRIED) throw error
    }
  }
}

function end(): void {
  process.exit(0)
}
