import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { daysLostTo, standsOn, standstill } from '../../domain/works/fault.ts'
import { appendEntry } from '../../server/book/entries.ts'
import { verifyBook } from '../../server/book/verify.ts'
import { currentGroup } from '../../server/people/group/store.ts'
import { breakdownsByWeek } from '../../server/rotation/outcome/season.ts'
import { openTurns, turnsStruck } from '../../server/rotation/outcome/waiting-store.ts'
import { pausesOf } from '../../server/rotation/turn-list/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { optionValue, type Visitor } from '../support/visitor.ts'

const [THIS, NEXT] = ['2026-11-23', '2026-11-30']

describe('the days on which a fault stands', () => {
  const open = { foundOn: '2026-11-14', stops: true, runsAgainOn: null, mended: null }

  it('go on until the mending is written, or to the day from which it is said to run again', () => {
    expect(standstill(open)).toEqual({ fromOn: '2026-11-14', untilOn: null })
    expect(standsOn(standstill(open)!, '2027-01-01')).toBe(true)
    expect(standsOn(standstill(open)!, '2026-11-13')).toBe(false)
    const said = standstill({ ...open, runsAgainOn: '2026-11-16' })!
    expect([standsOn(said, '2026-11-15'), standsOn(said, '2026-11-16')]).toEqual([true, false])
    expect(standstill({ ...open, stops: false })).toBeNull()
    // Running again on the very day of its finding it keeps no whole day; on the next it keeps that one.
    expect(standstill({ ...open, runsAgainOn: '2026-11-14' })).toBeNull()
    expect(standstill({ ...open, runsAgainOn: '2026-11-15' })).toEqual({ fromOn: '2026-11-14', untilOn: '2026-11-15' })
  })

  it('are the whole days written as lost once it is mended, and never more than to the mending', () => {
    const mended = (daysLost: number) => standstill({ ...open, mended: { on: '2026-11-17', daysLost } })
    expect(mended(2.5)).toEqual({ fromOn: '2026-11-14', untilOn: '2026-11-16' })
    expect(mended(0.5)).toBeNull()
    expect(mended(30)).toEqual({ fromOn: '2026-11-14', untilOn: '2026-11-18' })
  })

  it('are counted to today while it is open, and as written afterwards', () => {
    expect(daysLostTo({ ...open, today: '2026-11-20' })).toBe(6)
    expect(daysLostTo({ ...open, runsAgainOn: '2026-11-16', today: '2026-11-20' })).toBe(2)
    expect(daysLostTo({ ...open, mended: { on: '2026-11-17', daysLost: 2.5 }, today: '2026-11-20' })).toBe(2.5)
    expect(daysLostTo({ ...open, stops: false, today: '2026-11-20' })).toBe(0)
  })
})

describe('a fault that stops a pump', () => {
  let valley: Awaited<ReturnType<typeof openValley>>
  let dovi: Visitor
  beforeEach(async () => {
    valley = await openValley()
    dovi = await valley.signIn('dovi')
  })

  async function writeFault(fields: Record<string, string> = {}) {
    const form = await dovi.open('/log/faults/new')
    const pumpId = optionValue(form, 'pumpId', '2 ')
    await dovi.send(form, { pumpId, what: 'controller dark', stopsPump: 'yes', onDate: VALLEY_TODAY, ...fields })
    return pumpId
  }

  it('closes it for the planned week and says why on the page and on the sheet', async () => {
    const pumpId = await writeFault()
    const chair = await valley.signIn('amaru')
    const draft = await chair.open(`/turns/weeks/${NEXT}`)
    expect(draft.words).toContain('Pump 2 stands still since 25 Nov 2026: controller dark.')
    await chair.send(await chair.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
    const ofPump = () =>
      valley.db.selectFrom('turn').select('id').where('pumpId', '=', pumpId).where('onDate', '>=', NEXT).execute()
    expect(await ofPump()).toEqual([])
    expect((await chair.open(`/turns/weeks/${NEXT}/sheet`)).words).toContain('Pump 2 stands still since 25 Nov 2026')
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
  })

  it('closes only the days before the one from which it is said to run again', async () => {
    const pumpId = await writeFault({ runsAgainOn: addDays(NEXT, 2) })
    const chair = await valley.signIn('amaru')
    await chair.send(await chair.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
    const turns = await valley.db
      .selectFrom('turn')
      .select('onDate')
      .where('pumpId', '=', pumpId)
      .where('onDate', '>=', NEXT)
      .execute()
    expect(turns.length).toBeGreaterThan(0)
    expect(turns.every((turn) => turn.onDate >= addDays(NEXT, 2))).toBe(true)
  })

  it('shuts one outlet alone where it names one, and refuses an outlet of another pump', async () => {
    const form = await dovi.open('/log/faults/new')
    const pumpId = optionValue(form, 'pumpId', '2 ')
    const outlets = await valley.db.selectFrom('outlet').selectAll().orderBy('number').execute()
    const own = outlets.filter((outlet) => outlet.pumpId === pumpId)
    const other = outlets.find((outlet) => outlet.pumpId !== pumpId)!
    const typed = { pumpId, what: 'valve broken', stopsPump: 'yes', onDate: VALLEY_TODAY }
    const refused = await dovi.send(form, { ...typed, outletId: other.entryId })
    expect(refused.html.querySelector('#outletId-error')?.text).toContain('another pump')
    await dovi.send(form, { ...typed, outletId: own[0]!.entryId })
    const chair = await valley.signIn('amaru')
    const draft = await chair.open(`/turns/weeks/${NEXT}`)
    expect(draft.words).toContain(`Outlet ${own[0]!.number} is shut since 25 Nov 2026: valve broken.`)
    await chair.send(await chair.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
    const turns = await valley.db.selectFrom('turn').selectAll().where('onDate', '>=', NEXT).execute()
    expect(turns.some((turn) => turn.pumpId === pumpId)).toBe(true)
    expect(turns.some((turn) => turn.outletId === own[0]!.entryId)).toBe(false)
  })

  it('that was found after publication is told on the week and its sheet, with the door to share the day anew', async () => {
    await writeFault()
    const week = await dovi.open(`/turns/weeks/${THIS}`)
    expect(week.words).toContain('This was written in after the week was published')
    expect(week.html.querySelector(`main .note a[href="/log/days/${VALLEY_TODAY}"]`)).not.toBeNull()
    expect((await dovi.open(`/turns/weeks/${THIS}/sheet`)).words).toContain('Pump 2 stands still since 25 Nov 2026')
    const day = await dovi.open(`/log/days/${VALLEY_TODAY}`)
    expect(day.words).toContain('Pump 2 stands still since 25 Nov 2026: controller dark. Its turns of this day')
  })

  it('that was found after publication names the plates that go without, and those that hang on its tank', async () => {
    const chair = await valley.signIn('amaru')
    for (const [number, name, pump, outlet] of [
      ['7', 'Hill', 'Heron', '5 '],
      ['8', 'Vale', 'Hem', '9 '],
    ] as const) {
      const tank = await chair.open('/works/tanks/new')
      const pumpId = optionValue(tank, 'pumpId', pump)
      await chair.send(tank, { number, name, pumpId, area: '6', height: '1.2' })
      const hang = await chair.open('/works/settle/tank-of-outlet')
      const onTank = { outletId: optionValue(hang, 'outletId', outlet), tankId: optionValue(hang, 'tankId', name) }
      await chair.send(hang, { ...onTank, fromOn: VALLEY_TODAY })
    }
    await writeFault({ pumpId: optionValue(await dovi.open('/log/faults/new'), 'pumpId', '1 ') })
    const { words } = await dovi.open(`/turns/weeks/${THIS}`)
    expect(words).toContain('(outlets 1, 2, 3, 4, 6, 7, 8). The turns by gravity (outlet 5) stand')
  })

  it('lowers what the plots that it struck were entitled to, and their turns are no longer awaited', async () => {
    const group = (await currentGroup(valley.db))!
    const before = await openTurns(valley.db, VALLEY_TODAY, NEXT)
    const lostBefore = (await breakdownsByWeek(valley.db, group, NEXT))[THIS] ?? {}
    const pumpId = await writeFault()
    const struck = before.filter((turn) => turn.pumpId === pumpId)
    expect(struck.length).toBeGreaterThan(0)
    expect(await openTurns(valley.db, VALLEY_TODAY, NEXT)).toEqual(before.filter((turn) => turn.pumpId !== pumpId))
    expect((await turnsStruck(valley.db, VALLEY_TODAY, NEXT)).map(({ id }) => id).toSorted()).toEqual(
      struck.map(({ id }) => id).toSorted(),
    )
    const lost = (await breakdownsByWeek(valley.db, group, NEXT))[THIS]!
    for (const plotId of new Set(struck.map((turn) => turn.plotId!))) {
      const ofPlot = struck.filter((turn) => turn.plotId === plotId).reduce((sum, turn) => sum + turn.volumeM3, 0)
      expect(lost[plotId]! - (lostBefore[plotId] ?? 0)).toBeCloseTo(ofPlot, 3)
    }
  })

  it('is no turn that somebody has left unwritten', async () => {
    const over = async () => {
      valley.setNow(`${VALLEY_TODAY}T20:00:00Z`)
      await dovi.fill('/sign-in', { signInName: 'dovi', password: 'practice valley' })
      return (await dovi.open(`/log/days/${VALLEY_TODAY}`)).words.match(/(\d+|One) turns? (?:are|is) over/)?.[1]
    }
    const before = Number(await over())
    const pumpId = await writeFault()
    const ofPump = await valley.db
      .selectFrom('turn')
      .select('id')
      .where('onDate', '=', VALLEY_TODAY)
      .where('pumpId', '=', pumpId)
      .execute()
    expect(ofPump.length).toBeGreaterThan(0)
    expect(Number(await over())).toBe(before - ofPump.length)
  })

  it('pauses the list of its pump, which goes on at the next name when it runs again', async () => {
    const pumpId = await writeFault()
    const pauseOf = async () => (await pausesOf(valley.db, pumpId)).find(({ words }) => words === 'controller dark')
    expect(await pauseOf()).toMatchObject({ fromOn: VALLEY_TODAY, untilOn: null, cause: 'pump' })
    const faults = await dovi.open('/log/faults')
    const door = faults.html.querySelector('a[href^="/log/faults/mended"]')!.getAttribute('href')!
    valley.setNow('2026-11-27T10:00:00Z')
    await dovi.fill('/sign-in', { signInName: 'dovi', password: 'practice valley' })
    await dovi.send(await dovi.open(door), { cause: 'fuse', daysLost: '2', onDate: '2026-11-27' })
    expect(await pauseOf()).toMatchObject({ fromOn: VALLEY_TODAY, untilOn: '2026-11-26' })
  })

  it('is told in the season report with its days, cause, spares and the voucher itself', async () => {
    const voucher = { number: 900, payee: 'Shop', purpose: 'fuse', category: 'spares', amountMinor: 100 }
    const more = { invoice: null, moneyColumn: 'cash', stipendPersonId: null, stipendFromOn: null }
    const row = { ...voucher, ...more, stipendToOn: null, stipendDays: null }
    const writtenBy = (await valley.db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()).entryId
    const voucherId = await valley.db
      .transaction()
      .execute((trx) =>
        appendEntry(
          { trx, writtenBy, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` },
          { kind: 'voucher' },
          { voucher: [row] },
        ),
      )
    await writeFault({ onDate: '2026-11-20' })
    const faults = await dovi.open('/log/faults')
    const door = faults.html.querySelector('a[href^="/log/faults/mended"]')!.getAttribute('href')!
    const typed = { cause: 'fuse blown', daysLost: '1.5', spares: 'two fuses', voucher: 'No 900' }
    await dovi.send(await dovi.open(door), { ...typed, onDate: '2026-11-22' })
    const goro = await valley.signIn('goro')
    const report = await goro.open('/money/report')
    // The valley's own season has one day for its cable already.
    expect(report.words).toContain('Pump 2: 2.5 days of pumping lost')
    expect(report.words).toContain('fuse blown')
    expect(report.words).toContain('two fuses')
    expect(report.html.querySelector(`a[href="/money/names/voucher/${voucherId}"]`)?.text).toContain('900')
  })
})
