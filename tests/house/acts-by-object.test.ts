import { beforeAll, describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { askToJoin, keepFile } from '../../server/book/joining/waiting-file.ts'
import { writeHearing } from '../../server/fees/missed-turn/store.ts'
import { setRoles } from '../../server/people/person/store.ts'
import { standingWeek } from '../../server/rotation/outcome/standing-week.ts'
import { laidSwap } from '../../server/rotation/swap/store.ts'
import { Rascal } from '../faults/nasty.ts'
import { routesOf } from '../support/addresses.ts'
import { holdFromToday, openValley, VALLEY_TODAY } from '../support/valley.ts'
import { type Name, OWN_ACTS } from './own-acts.ts'
import { WRITTEN_BY } from './who-may-write.ts'

/** One person for each role, and Hila, a member whose plot, turn, hours and fine the others try to lay hands on. */
const ONE_ROLE = {
  committee: 'amaru',
  attendant: 'dovi',
  treasurer: 'fanta',
  auditor: 'goro',
  neighbour: 'isko',
  member: 'besi',
}
const SIGNING_IN = /Amaru|Besi|Dovi|Fanta|Goro|Hila|Isko/
const WEEK = '2026-11-23'

let valley: Awaited<ReturnType<typeof openValley>>
const visitors = new Map<Name, Rascal>()
const ids = new Map<string, string>()
const idOf = (name: string) => ids.get(name)!
const as = (name: Name) => visitors.get(name)!
const countEntries = async () => (await valley.db.selectFrom('entry').select('seq').execute()).length
const lastId = async () =>
  (await valley.db.selectFrom('entry').select('id').orderBy('seq', 'desc').executeTakeFirstOrThrow()).id

beforeAll(async () => {
  valley = await openValley()
  const persons = await valley.db.selectFrom('person').select(['entryId', 'signInName']).execute()
  for (const { entryId, signInName } of persons) if (signInName) ids.set(signInName, entryId)
  const writtenAt = `${VALLEY_TODAY}T09:00:00.000Z`
  await valley.db.transaction().execute(async (trx) => {
    const pen = { trx, writtenBy: idOf('amaru'), writtenAt }
    for (const [role, name] of Object.entries(ONE_ROLE)) await setRoles(pen, idOf(name), [role], VALLEY_TODAY)
  })
  for (const name of [...Object.values(ONE_ROLE), 'hila'] as Name[]) {
    visitors.set(name, new Rascal(valley.app))
    await as(name).signIn(name)
  }
})

describe('every address that writes', () => {
  it('is shut to a role as the table says, and what it refuses leaves nothing in the book', async () => {
    const forms = routesOf(valley.app.printRoutes({ commonPrefix: false })).filter(({ method }) => method === 'POST')
    const seen = new Map<string, string[]>()
    for (const [role, name] of Object.entries(ONE_ROLE))
      for (const { path } of forms.filter((one) => one.path !== '/sign-out')) {
        const before = await countEntries()
        const { status } = await as(name as Name).post(path.replace(/:\w+/g, 'x'), {})
        if (status === 403) expect(await countEntries(), path).toBe(before)
        else seen.set(path, [...(seen.get(path) ?? []), role])
      }
    const written: Record<string, string[]> = {}
    for (const path of [...seen.keys()].sort()) {
      const roles = seen.get(path)!.join(' ')
      written[roles] = [...(written[roles] ?? []), path]
    }
    expect(written).toEqual(
      Object.fromEntries(Object.entries(WRITTEN_BY).map(([who, paths]) => [who, paths.trim().split(/\s+/).sort()])),
    )
  })
})

/** What the acts are about, made on the way. */
const made: Record<string, string> = {}

/**
 * Open to a member, and nobody's own but the member's: the weather that all share, their own password and code, paper by its book, and a
 * name under what parts are reckoned by (`tests/rotation/basis/page-written-alone.test.ts`).
 */
const NOBODYS =
  `/turns/names/basis/:start /crops/weather/new /crops/weather/list /crops/weather/new/:id /people/settle/count-in /people/settle/password /people/settle/code
  /people/settle/one-time-codes /people/kept/:id/end /people/sign-ins/:id/end /people/sign-ins/end
  /sign-in/:id /sign-in /sign-in/language /start /start?as=example /paper/:book/type`.split(/\s+/)

/** Hila alone holds a plot with a turn to come that could be given to somebody who does not sign in. */
async function giveHilaATurn(): Promise<void> {
  const week = (await standingWeek(valley.db, WEEK))!
  const plots = week.inputs.plots.filter(({ holders }) => !SIGNING_IN.test(holders.join()))
  for (const turn of week.standing.filter(({ on }) => on > addDays(VALLEY_TODAY, 1)))
    for (const { id: toPlotId } of plots.filter(({ id }) => id !== turn.plotId)) {
      const swap = { weekStartOn: WEEK, turnId: turn.bookId, otherTurnId: null, toPlotId }
      if (!('turns' in (await laidSwap(valley.db, swap)))) continue
      await holdFromToday(valley.db, turn.plotId!, [idOf('hila')])
      Object.assign(made, { turn: turn.bookId, plot: turn.plotId, outlet: turn.outletId, partner: toPlotId })
      return
    }
  throw new Error('no turn that could be given')
}

async function makeMoneyMatters(): Promise<void> {
  const count = { column: 'cash', countedOn: VALLEY_TODAY, counted: '100', secondId: idOf('hila') }
  expect((await as('fanta').post('/money/count', count)).status).toBe(303)
  made.count = await lastId()
  const fine = { personId: idOf('hila'), rule: 'rule 9', fact: 'valve open', heardOn: VALLEY_TODAY, hearing: 'forgot' }
  const asked = await as('fanta').post('/money/fine', {
    ...fine,
    amount: '25',
    lapseOn: '2026-12-20',
    reason: 'the meeting said so',
  })
  expect(asked.status).toBe(303)
  made.fine = await lastId()
  const word = { ...fine, step: 'word', body: 'committee', lapseOn: '2026-12-20' }
  expect((await as('amaru').post('/people/warnings/new', word)).status).toBe(303)
  made.warning = await lastId()
  expect((await as('amaru').post(`/money/names/fine/${made.fine}`, {})).status).toBe(303)
  const { inputs, standing } = (await standingWeek(valley.db, WEEK))!
  const isNobodys = (plotId: string) => !SIGNING_IN.test(inputs.plots.find(({ id }) => id === plotId)!.holders.join())
  const missed = standing.find(({ on, plotId }) => on < VALLEY_TODAY && isNobodys(plotId))!
  const said = { turnId: missed.bookId, heardOn: VALLEY_TODAY, hearing: 'was away', appealUntil: '2026-12-09' }
  await valley.db.transaction().execute(async (trx) => {
    made.hearing = await writeHearing(
      { trx, writtenBy: idOf('fanta'), writtenAt: `${VALLEY_TODAY}T10:00:00.000Z` },
      said,
    )
  })
}

describe('an act upon what is somebody else’s', () => {
  it('is refused in every role that does not act for everybody, writes nothing, and is then done by whoever may', async () => {
    await giveHilaATurn()
    await makeMoneyMatters()
    const now = { db: valley.db, at: new Date(`${VALLEY_TODAY}T10:00:00.000Z`) }
    made.file = keepFile(now, { bytes: Buffer.from('of another device'), personId: idOf('amaru') })
    askToJoin(now, made.file)
    for (const { path, url, body = () => ({}), refused, taken } of OWN_ACTS) {
      const before = await countEntries()
      for (const name of refused) {
        const { status } = await as(name).post(url(made, idOf), body(made, idOf))
        expect([403, 404], `${status} ${path} by ${name}`).toContain(status)
      }
      expect(await countEntries(), path).toBe(before)
      if (taken === null) continue
      expect((await as(taken).post(url(made, idOf), body(made, idOf))).status, `${path} by ${taken}`).toBe(303)
      expect(await countEntries(), path).toBeGreaterThan(before)
      made[path] = await lastId()
    }
  })

  it('is tried at every address that is open to a member', () => {
    const open = Object.entries(WRITTEN_BY).filter(([who]) => who.split(' ').includes('member'))
    const paths = open.flatMap(([, list]) => list.trim().split(/\s+/))
    expect(paths.length).toBeGreaterThan(10)
    const known = [...OWN_ACTS.map(({ path }) => path), ...NOBODYS]
    expect(paths.filter((path) => !known.includes(path))).toEqual([])
  })
})
