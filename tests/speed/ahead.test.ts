import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { reckonAhead } from '../../server/ahead.ts'
import { buildApp } from '../../server/app.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { migrateToLatest } from '../../server/database/migrate.ts'
import { CHEAP_HASHING } from '../support/hashing.ts'
import { VALLEY_TODAY, valleyFile } from '../support/load-valley.ts'
import { Visitor } from '../support/visitor.ts'

const NEXT_WEEK = '/turns/weeks/2026-11-30'
/** The whole week takes about sixty when nothing is kept (statements.test.ts); what stays is of the visitor and of the page alone. */
const MOST = 20

let told: string[] = []
let amaru: Visitor
let close: () => Promise<void>
let whenWritten: () => void
const reckonedAfter = new Promise<void>((resolve) => {
  whenWritten = resolve
})
beforeAll(async () => {
  const db = openDatabase(readFileSync(await valleyFile()), (statement) => told.push(statement))
  await migrateToLatest(db)
  const now = () => new Date(`${VALLEY_TODAY}T10:00:00Z`)
  const app = await buildApp({ db, now, claimCode: '246810', hashing: CHEAP_HASHING })
  reckonAhead(app, { db, now, quietMs: 1, done: async () => (await isWritten(db)) && whenWritten() })
  await app.ready()
  amaru = new Visitor(app.server)
  close = () => app.close()
})
afterAll(() => close())

async function isWritten(db: Database): Promise<boolean> {
  const rows = await db.selectFrom('weatherDay').select('tmaxC').where('onDate', '=', VALLEY_TODAY).execute()
  return rows.some(({ tmaxC }) => tmaxC === 31)
}

it('has the coming week ready for whoever looks after something was written and nobody asked for a while', async () => {
  await amaru.fill('/sign-in', { signInName: 'amaru', password: 'practice valley' })
  await amaru.fill('/crops/weather/new', { onDate: VALLEY_TODAY, tmaxC: '31', tminC: '17', rainMm: '0' })
  await reckonedAfter
  told = []
  expect((await amaru.open(NEXT_WEEK)).status).toBe(200)
  expect(told.filter((one) => /^select/i.test(one)).length).toBeLessThan(MOST)
})
