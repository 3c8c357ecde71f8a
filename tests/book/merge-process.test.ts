import { execFile } from 'node:child_process'
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { addAbstraction } from '../../server/abstractions/draw/store.ts'
import { newId, type Pen } from '../../server/book/entries.ts'
import { standing } from '../../server/book/standing.ts'
import { type Database, openDatabase } from '../../server/database/connection.ts'
import { addPerson } from '../../server/people/person/store.ts'
import { projectFolder } from '../../server/project-folder.ts'
import { abstractionsBook, TODAY } from '../abstractions/book.ts'
import { temporaryFolder } from '../faults/process.ts'
import { openBook, startedBook } from '../support/book.ts'
import { programCommand, programEnvironment } from '../support/program.ts'
import { serialized } from '../support/serialized.ts'

const folder = temporaryFolder()
afterAll(() => folder.remove())
const at = (name: string) => join(folder.path, `${name}.sqlite`)

interface Ended {
  code: number
  shown: string
}

/** One of the scripts as its own process, as whoever keeps the book runs it. */
function run(script: 'merge-book' | 'verify-book', database: string, ...words: string[]): Promise<Ended> {
  const [program, ...command] = programCommand(script, ...words)
  const env = programEnvironment({ DATABASE: database })
  return new Promise((resolve) => {
    execFile(program, command, { cwd: projectFolder(), env }, (error, out, problem) =>
      resolve({ code: error ? Number(error.code) : 0, shown: out + problem }),
    )
  })
}

/** Random entries of one device: draws at odd hours, and a person whose number the other gives too. */
async function writeApart(name: string, ids: Awaited<ReturnType<typeof abstractionsBook>>, slipNo: number) {
  const db = openDatabase(at(name))
  const { weirId, pumpId, outletId, plotId } = ids
  const writing = (writtenAt: string, work: (pen: Pen) => Promise<unknown>) =>
    db.transaction().execute((trx) => work({ trx, writtenBy: ids.adaId, writtenAt }))
  for (let count = 0; count < 5; count++) {
    const hour = 6 + Math.floor(Math.random() * 11)
    const opening = Math.floor(Math.random() * 900)
    const times = { startTime: `${String(hour).padStart(2, '0')}:00`, endTime: `${String(hour).padStart(2, '0')}:59` }
    const more = { sky: null, standIn: null, slipNo: slipNo + count, events: [], tool: null, seconds: [] }
    const writtenAt = `2026-06-11T1${Math.floor(Math.random() * 9)}:${10 + count}:00.000Z`
    await writing(writtenAt, (pen) =>
      addAbstraction(pen, {
        ...{ onDate: TODAY, use: 'irrigation', weirId, pumpId, outletId, plotId, turnId: null, takerId: null },
        ...{ method: 'meter', openingM3: opening, closingM3: opening + 2, hours: null, flowM3PerH: null, ...times },
        ...{ volumeM3: 2, uncertaintyM3: 0.1, grade: 'measured', remark: newId(), more },
      }),
    )
  }
  const person = { phone: null, signInName: null, roles: ['member'], passwordHash: null }
  await writing('2026-06-11T20:00:00.000Z', (pen) => addPerson(pen, { ...person, number: 77, name }, TODAY))
  return db
}

describe('npm run merge', () => {
  const shown: Ended[] = []
  /** Both books stay open, as they are while an app runs: what was written last is not in the file itself yet. */
  const inUse: Database[] = []
  afterAll(() => Promise.all(inUse.map((db) => db.destroy())))
  beforeAll(async () => {
    const book = await abstractionsBook()
    const base = await serialized(book.db)
    for (const [name, slipNo] of [
      ['laptop', 300],
      ['phone', 400],
    ] as const) {
      writeFileSync(at(name), base)
      inUse.push(await writeApart(name, book, slipNo))
    }
    shown.push(await run('merge-book', at('laptop'), at('phone'), at('joined'), 'ada'))
    shown.push(await run('merge-book', at('phone'), at('laptop'), at('joined-again'), 'ada'))
  })

  it('gives the same book in either order, keeps the two as they were, and lists what clashes', async () => {
    const [one, other] = shown as [Ended, Ended]
    expect([one.code, other.code], one.shown + other.shown).toEqual([0, 0])
    const lastHash = /in either order, all \d+ end with ([0-9a-f]{64})/
    expect(lastHash.exec(one.shown)![1]).toBe(lastHash.exec(other.shown)![1])
    expect(one.shown).toContain('7 only in the first, 7 only in the second')
    expect(one.shown).toContain('The same number given twice')
  })

  it('lets nothing rule that the other brought until somebody else here stands for it, and asks who joins', async () => {
    const nameless = await run('merge-book', at('laptop'), at('phone'), at('nameless'))
    expect(nameless.code).toBe(1)
    expect(nameless.shown).toContain('name who joins')
    expect(existsSync(at('nameless'))).toBe(false)
    expect(shown[0]!.shown).toContain('rule nothing yet: another person than ada')
    const joined = openDatabase(at('joined'))
    const rules = await joined
      .selectFrom('personRole')
      .innerJoin('person', 'person.entryId', 'personRole.personId')
      .select('person.name')
      .where(standing('personRole'))
      .execute()
    await joined.destroy()
    expect(rules.map(({ name }) => name)).toContain('laptop')
    expect(rules.map(({ name }) => name)).not.toContain('phone')
  })

  it('verifies, and knows the last hash that either device had noted', async () => {
    const laptop = await run('verify-book', at('laptop'))
    const noted = /last hash is ([0-9a-f]{64})/.exec(laptop.shown)![1]!
    expect(laptop.code).toBe(0)
    const joined = await run('verify-book', at('joined'), '--last', noted)
    expect(joined.code, joined.shown).toBe(0)
    expect(joined.shown).toContain('of a book that was joined into this one')
    const unknown = await run('verify-book', at('joined'), '--last', 'ab'.repeat(32))
    expect(unknown.code).toBe(1)
    expect(unknown.shown).toContain('is not in this book')
  })

  it('shows the clashes in the app, with a door to either and the words that let both stand', async () => {
    const kept = openDatabase(at('joined'))
    const book = await openBook('2026-06-12T06:00:00Z', await serialized(kept))
    await kept.destroy()
    const ada = book.visitor()
    await ada.fill('/sign-in', { signInName: 'ada', password: 'a long enough word' })
    const page = await ada.open('/log/check?as=joined')
    expect(page.words).toContain('Number 77, laptop')
    expect(page.words).toContain('Number 77, phone')
    const entries = page.html
      .querySelectorAll('main li a[href], main td a[href]')
      .map((link) => link.getAttribute('href')!)
    expect(entries.length).toBeGreaterThan(1)
    for (const href of entries) expect((await ada.open(href)).status, href).toBe(200)
    const door = page.html.querySelector('a[href^="/log/settle/clash/same-number/"]')!.getAttribute('href')!
    const form = await ada.open(door)
    const empty = await ada.send(form, { words: '' })
    expect(empty.html.querySelector('#words-error')).not.toBeNull()
    const settled = await ada.send(form, { words: 'the phone’s one becomes 78' })
    expect(settled.words).toContain('Both stand: the phone’s one becomes 78 (Ada')
    expect((await ada.open(door)).status).toBe(404)
    const other = book.visitor()
    expect((await other.open('/log/check?as=joined')).path).toContain('/sign-in')
  })

  it('refuses a book of another group, a changed book and a target that exists, and leaves nothing behind', async () => {
    const stranger = await startedBook()
    writeFileSync(at('stranger'), await serialized(stranger.db))
    const wrong = await run('merge-book', at('laptop'), at('stranger'), at('none'))
    expect(wrong.code).toBe(1)
    expect(wrong.shown).toContain('another group')
    expect(existsSync(at('none'))).toBe(false)
    const taken = await run('merge-book', at('laptop'), at('phone'), at('joined'))
    expect(taken.code).toBe(1)
    expect(taken.shown).toContain('must not exist yet')
    expect((await run('verify-book', at('joined'))).code).toBe(0)
  })
})
