import { beforeEach, describe, expect, it } from 'vitest'
import { answers } from '../../server/answers.ts'
import { appendEntry, type Pen } from '../../server/book/entries.ts'
import { currentGroup } from '../../server/people/group/store.ts'
import { listPersons } from '../../server/people/person/store.ts'
import { listPlots } from '../../server/people/plot/store.ts'
import { weekInputs } from '../../server/rotation/draft/inputs.ts'
import { findPublishedWeek } from '../../server/rotation/published/store.ts'
import {
  requestDetails,
  setUrgentQuota,
  urgentInMonth,
  urgentQuotaOn,
} from '../../server/rotation/request/detail-store.ts'
import { addRequest, requestsFor } from '../../server/rotation/request/store.ts'
import { listOutlets } from '../../server/works/pump/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { answersOf, optionValue, type Visitor } from '../support/visitor.ts'

const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let hila: Visitor
beforeEach(async () => {
  valley = await openValley()
  hila = await valley.signIn('hila')
})

const ask = async (visitor: Visitor, fields: Record<string, string>) => {
  const page = await visitor.open('/turns/ask')
  return visitor.send(page, { plotId: optionValue(page, 'plotId', 'Hila'), weekStartOn: NEXT, ...fields })
}

describe('a request', () => {
  it('is offered only weeks that are not agreed yet, and stands on the list of its week', async () => {
    const weeks = async () => answersOf(await hila.open('/turns/ask'), 'weekStartOn').map(({ value }) => value)
    expect(await weeks()).toEqual([NEXT, '2026-12-07'])
    const chair = await valley.signIn('amaru')
    await chair.send(await chair.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
    expect(await weeks()).toEqual(['2026-12-07'])
    const listed = await ask(hila, { weekStartOn: '2026-12-07', volume: '3' })
    expect(listed.path).toBe('/turns/asked')
    expect(listed.words).toContain('7 Dec 2026 to 13 Dec 2026')
  })

  it('for every week that is ended in a week not agreed yet is no more of that week', async () => {
    valley.setNow(`${NEXT}T06:00:00Z`)
    hila = await valley.signIn('hila')
    const listed = await ask(hila, { volume: '3', everyWeek: 'yes' })
    expect((await requestsFor(valley.db, NEXT)).map(({ volumeM3 }) => volumeM3)).toEqual([3])
    const end = listed.html.querySelector('form[action$="/end"]')!.getAttribute('action')!
    await hila.send(listed, {}, end)
    expect(await requestsFor(valley.db, NEXT)).toEqual([])
  })

  it('is for a jerrycan at least and for 10,000 m³ at most', async () => {
    const beyond = async (volume: string) => (await ask(hila, { volume })).words.includes('Ask for 0.02 to 10,000 m³.')
    const told = []
    for (const volume of ['0.019', '0.02', '10000', '10000.1']) told.push(await beyond(volume))
    expect(told).toEqual([true, false, false, true])
  })

  it('is asked about from 150 mm on the plot on: jerrycans typed as m³ are fifty times what was meant', async () => {
    const eight = (await listPlots(valley.db, VALLEY_TODAY)).find(({ number }) => number === 8)!
    const mostM3 = 0.15 * eight.areaM2
    const askedM3 = async () => (await requestsFor(valley.db, NEXT)).map(({ volumeM3 }) => volumeM3)
    await ask(hila, { volume: String(mostM3) })
    expect(await askedM3()).toEqual([mostM3])
    const much = await ask(hila, { volume: '340' })
    const depth = new Intl.NumberFormat('en-GB').format(Math.round((340 / eight.areaM2) * 1000))
    expect([much.status, much.words.includes(`17,000 jerrycans: ${depth} mm on the whole plot`)]).toEqual([422, true])
    expect((await ask(hila, { volume: String(mostM3 + 0.1) })).status).toBe(422)
    await ask(hila, { volume: '340', askedIn: 'jerrycans' })
    expect(await askedM3()).toEqual([6.8])
    await hila.send(much, { _sure: 'volume:340' })
    expect(await askedM3()).toEqual([340])
  })

  it('holds for its own week: where nothing can be said a week later, the plot stands with what it needed and not with the little that was asked', async () => {
    const inputsOf = async (weekStartOn: string, today: string) => {
      const group = (await currentGroup(valley.db))!
      const inputs = (await weekInputs(valley.db, answers.rotation, { group, weekStartOn, today }))!
      const eight = inputs.plots.find(({ number }) => number === 8)!
      const claims = inputs.claims.map((claim) => [claim.plotId, claim] as const)
      return { own: new Map(claims).get(eight.id)!, others: claims.filter(([plotId]) => plotId !== eight.id) }
    }
    await ask(hila, { volume: '0.1' })
    const needed = (await inputsOf(NEXT, VALLEY_TODAY)).own.needM3.likely
    expect(needed).toBeGreaterThan(0.5)
    const chair = await valley.signIn('amaru')
    await chair.send(await chair.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
    const given = (await findPublishedWeek(valley.db, NEXT))!.results.shares
    const later = await inputsOf('2026-12-07', '2026-12-05')
    expect(later.own).toMatchObject({ isAsLastWeek: true, requestedM3: null, needM3: { likely: needed } })
    expect(later.others.length).toBeGreaterThan(20)
    for (const [id, { needM3 }] of later.others)
      expect(needM3.likely).toBeCloseTo(given.find(({ plotId }) => plotId === id)!.allocatedM3, 9)
  })

  it('keeps wished hours to be seen, and puts no turn into impossible ones', async () => {
    const page = await ask(hila, { wishedDay: '2', wishedFrom: '08:00', cannotDay: '3', cannotFrom: '11:00' })
    expect(page.words).toContain('Wished: Tuesday 08:00–24:00')
    expect(page.words).toContain('Cannot: Wednesday 11:00–24:00')
    const group = (await currentGroup(valley.db))!
    const inputs = (await weekInputs(valley.db, answers.rotation, { group, weekStartOn: NEXT, today: VALLEY_TODAY }))!
    const hours = inputs.turnFacts!.noTurnHours.filter((one) => one.on === '2026-12-02' && one.fromHour === 11)
    expect(hours).toMatchObject([{ toHour: 24 }])
  })

  it('tells of each plot what was asked for that one, and of a plot for which nobody asked nothing', async () => {
    const form = await hila.open('/turns/ask')
    const [eight, other] = answersOf(form, 'plotId').map(({ value }) => value)
    await ask(hila, { plotId: other!, volume: '2.5' })
    await ask(hila, { plotId: eight!, volume: '3.5' })
    const silent = (await listPlots(valley.db, VALLEY_TODAY)).find(({ number }) => number === 4)!
    const told = async (plotId: string) =>
      /Asked for: ([\d.]+) m³/.exec((await hila.open(`/turns/working/why/${NEXT}/${plotId}`)).words)?.[1]
    expect([await told(eight!), await told(other!), await told(silent.id)]).toEqual(['3.5', '2.5', undefined])
  })

  it('is taken in jerrycans of 20 litres or in hours at the tested flow, and told in all three', async () => {
    await ask(hila, { volume: '125', askedIn: 'jerrycans' })
    expect((await requestsFor(valley.db, NEXT)).find((one) => one.volumeM3 === 2.5)).toBeDefined()
    const plot = (await listPlots(valley.db, VALLEY_TODAY)).find(({ holders }) => holders[0]?.name.includes('Hila'))!
    const outlet = (await listOutlets(valley.db, VALLEY_TODAY)).find(({ id }) => id === plot.outletIds[0])!
    const page = await ask(hila, { volume: '1.5', askedIn: 'hours', outletId: outlet.id })
    const asked = (await requestsFor(valley.db, NEXT)).find(({ plotId }) => plotId === plot.id)!
    expect(asked.volumeM3).toBeCloseTo(1.5 * outlet.flowM3PerH!, 3)
    expect(page.words).toContain(`1 h 30 at outlet ${outlet.number}`)
  })

  it('keeps hours at an outlet that does not serve the plot, and says which do', async () => {
    const plot = (await listPlots(valley.db, VALLEY_TODAY)).find(({ holders }) => holders[0]?.name.includes('Hila'))!
    const other = (await listOutlets(valley.db, VALLEY_TODAY)).find(({ id }) => !plot.outletIds.includes(id))!
    const page = await ask(hila, { volume: '2', askedIn: 'hours', outletId: other.id })
    expect(page.status).toBe(422)
    expect(page.html.querySelector('#volume')?.getAttribute('value')).toBe('2')
    expect(page.html.querySelector('#outletId-error')?.text).toContain('choose one of them')
  })

  it('says beside the field that hours run back', async () => {
    const page = await ask(hila, { cannotFrom: '11:00', cannotTo: '10:00' })
    expect(page.status).toBe(422)
    expect(page.html.querySelector('#cannotTo-error')).not.toBeNull()
  })

  it('may stand for every week until it is stopped, and one for a week takes its place', async () => {
    await ask(hila, { everyWeek: 'yes', volume: '7' })
    const later = async (week: string) => (await requestsFor(valley.db, week)).filter((one) => one.volumeM3 === 7)
    expect(await later('2026-12-14')).toMatchObject([{ standing: true }])
    await ask(hila, { volume: '3' })
    expect(await later(NEXT)).toEqual([])
    expect(await later('2026-12-14')).toHaveLength(1)
  })

  it('stops standing from the next week on', async () => {
    const page = await ask(hila, { everyWeek: 'yes', volume: '7' })
    const action = page.html.querySelector('form[action$="/end"]')!.getAttribute('action')!
    const after = await hila.send(page, {}, action)
    expect(after.words).not.toContain('every week')
    expect((await requestsFor(valley.db, '2026-12-14')).filter((one) => one.standing)).toEqual([])
  })

  it('counts the urgent ones of a month by the clock of the group, not by that of Greenwich', async () => {
    // 21:30 in Greenwich on the last of October is already November three hours to the east.
    const asked = {
      plotId: '',
      weekStartOn: NEXT,
      volumeM3: null,
      times: [],
      urgent: 'seedlings wilt',
      standing: false,
    }
    const plotId = (await listPlots(valley.db, VALLEY_TODAY))[0]!.id
    const writtenAt = '2026-10-31T21:30:00.000Z'
    const { id: writtenBy } = (await listPersons(valley.db))[0]!
    await valley.db
      .transaction()
      .execute((trx) => addRequest({ trx, writtenBy, writtenAt }, { ...asked, plotId, forPersonId: null }))
    const counted = (on: string, zone: string) => urgentInMonth(valley.db, plotId, on, zone)
    expect(await counted('2026-11-25', 'Africa/Nairobi')).toBe(1)
    expect(await counted('2026-10-25', 'Africa/Nairobi')).toBe(0)
    expect(await counted('2026-10-25', 'Etc/GMT')).toBe(1)
  })

  it('is urgent as often as the group allows in a month, whoever writes it', async () => {
    const page = await ask(hila, { urgent: 'seedlings wilt' })
    expect(page.words).toContain('▲ Urgent: seedlings wilt')
    const chair = await valley.signIn('amaru')
    const again = await ask(chair, { urgent: 'seedlings wilt still' })
    expect(again.status).toBe(422)
    expect(again.html.querySelector('#urgent-error')!.text).toContain('the group allows 1')
    await chair.fill('/turns/settle/urgent', { perMonth: '2' })
    expect((await ask(chair, { urgent: 'seedlings wilt still' })).status).toBe(200)
    expect((await requestsFor(valley.db, NEXT)).find((one) => one.askedByName.startsWith('Amaru'))).toBeDefined()
  })
})

describe('what a week and a month are told of requests', () => {
  /** Two plots with an hour, a volume and an urgency each, so that nothing of one is told of the other. */
  async function twoRequests() {
    const [first, second] = (await listPlots(valley.db, VALLEY_TODAY)).map(({ id }) => id)
    const write = (work: (pen: Pen) => Promise<string>, writtenAt = `${VALLEY_TODAY}T09:00:00.000Z`) =>
      valley.db.transaction().execute(async (trx) => {
        const { id: writtenBy } = (await listPersons(trx))[0]!
        return work({ trx, writtenBy, writtenAt })
      })
    const time = (fromHour: number) => ({
      kind: 'wished' as const,
      weekday: 2,
      marketDay: null,
      fromHour,
      toHour: fromHour + 2,
    })
    const asked = (plotId: string, fromHour: number, weekStartOn = NEXT) => ({
      plotId,
      weekStartOn,
      volumeM3: fromHour,
      forPersonId: null,
      times: [time(fromHour)],
      urgent: `withering at ${fromHour}`,
    })
    return { first: first!, second: second!, write, asked }
  }

  it('is each request’s own hours and urgency, in the week it is for, and no longer once it was struck out', async () => {
    const { first, second, write, asked } = await twoRequests()
    const before = (await requestsFor(valley.db, NEXT)).length
    const one = await write((pen) => addRequest(pen, asked(first, 7)))
    const two = await write((pen) => addRequest(pen, asked(second, 9)))
    await write((pen) => addRequest(pen, asked(first, 11, '2026-12-07')))
    const details = await requestDetails(valley.db, [one])
    expect([...details.keys()]).toEqual([one])
    expect(details.get(one)).toMatchObject({ urgent: 'withering at 7', times: [{ fromHour: 7 }] })
    expect((await requestDetails(valley.db, [two])).get(two)).toMatchObject({ times: [{ fromHour: 9 }] })
    const of = async (weekStartOn: string) =>
      (await requestsFor(valley.db, weekStartOn)).filter(({ standing }) => !standing).map(({ volumeM3 }) => volumeM3)
    expect(await of(NEXT)).toEqual(expect.arrayContaining([7, 9]))
    expect(await of(NEXT)).not.toContain(11)
    expect(await of('2026-12-07')).toContain(11)
    await write((pen) => appendEntry(pen, { kind: 'struck-out', correctsId: one, reason: 'written twice' }, {}))
    expect(await of(NEXT)).not.toContain(7)
    expect((await requestsFor(valley.db, NEXT)).length).toBe(before + 1)
  })

  it('counts as urgent what this plot wrote in this month and did not strike out, by the clock of the group', async () => {
    const { first, second, write, asked } = await twoRequests()
    const count = (on: string) => urgentInMonth(valley.db, first, on, 'Africa/Nairobi')
    const november = await count('2026-11-25')
    const inNovember = await write((pen) => addRequest(pen, asked(first, 7)), '2026-11-30T20:59:00.000Z')
    await write((pen) => addRequest(pen, asked(first, 8)), '2026-11-30T21:00:00.000Z')
    await write((pen) => addRequest(pen, asked(second, 9)))
    expect([await count('2026-11-25'), await count('2026-12-01')]).toEqual([november + 1, 1])
    await write((pen) => appendEntry(pen, { kind: 'struck-out', correctsId: inNovember, reason: 'rain came' }, {}))
    expect([await count('2026-11-25'), await count('2026-12-01')]).toEqual([november, 1])
  })

  it('goes by the quota in force that was not corrected, and by a lasting request only from its day on', async () => {
    const { first, write } = await twoRequests()
    const wrong = await write((pen) => setUrgentQuota(pen, { fromOn: '2026-11-01', perMonth: 9 }))
    expect(await urgentQuotaOn(valley.db, VALLEY_TODAY)).toBe(9)
    await write((pen) => appendEntry(pen, { kind: 'struck-out', correctsId: wrong, reason: 'mistyped' }, {}))
    expect(await urgentQuotaOn(valley.db, VALLEY_TODAY)).toBe(1)
    const lasting = { plotId: first, weekStartOn: '2026-12-07', volumeM3: 5.5, forPersonId: null, standing: true }
    await write((pen) => addRequest(pen, lasting))
    const holds = async (on: string) => (await requestsFor(valley.db, on)).some(({ volumeM3 }) => volumeM3 === 5.5)
    expect([await holds(NEXT), await holds('2026-12-07'), await holds('2026-12-14')]).toEqual([false, true, true])
  })
})
