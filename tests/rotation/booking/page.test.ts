import { beforeEach, describe, expect, it } from 'vitest'
import { leftOfEntitlementM3, openSlots, openWaterM3, tryBooking } from '../../../domain/rotation/booking.ts'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { holdFromToday, openValley } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { excuse } from '../outcome/excuse.ts'

const WEEK = '2026-11-23'
const FROM = '2026-11-26'
const VOLUME_M3 = 0.5

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

/** Every booking of half a cubic metre that the week still allows at the start of an open slot. */
async function possible() {
  const week = (await standingWeek(valley.db, WEEK))!
  const domain = { inputs: week.inputs, results: week.results, turns: week.standing }
  const slots = week.inputs.days.filter((on) => on >= FROM).flatMap((on) => openSlots({ ...domain, on }))
  return slots.flatMap(({ on, startMinute, pumpId }) =>
    week.inputs.plots.flatMap((plot) => {
      const outlet = week.inputs.outlets.find((one) => one.pumpId === pumpId && plot.outletIds.includes(one.id))
      if (!outlet) return []
      const start = Math.ceil(startMinute / 5) * 5
      const wish = { plotId: plot.id, outletId: outlet.id, on, startMinute: start, volumeM3: VOLUME_M3 }
      return 'turn' in tryBooking(domain, wish) ? [wish] : []
    }),
  )
}

const clock = (minute: number) =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`
const fieldsOf = (wish: Awaited<ReturnType<typeof possible>>[number], volumeM3 = VOLUME_M3) => ({
  plotId: wish.plotId,
  outletId: wish.outletId,
  onDate: wish.on,
  start: clock(wish.startMinute),
  volume: String(volumeM3),
})

describe('booking after publication', () => {
  it('in somebody else’s name is told to whoever holds the plot', async () => {
    const hila = await valley.signIn('hila')
    const { inputs } = (await standingWeek(valley.db, WEEK))!
    const own = inputs.plots.filter(({ holders }) => holders.includes('Hila Quarm')).map(({ id }) => id)
    const wish = (await possible()).find(({ plotId }) => own.includes(plotId))!
    const told = async () => (await hila.open('/')).words.includes('Amaru Tolle booked free hours for plot')
    expect(await told()).toBe(false)
    await chair.fill('/turns/ask?as=free', { ...fieldsOf(wish), askedHow: 'message', bearer: 'her son' })
    expect(await told()).toBe(true)
  })

  it('shows a member the hours of the pumps that reach an own plot, and the form takes the outlet that hangs on it', async () => {
    const hila = await valley.signIn('hila')
    const { inputs } = (await standingWeek(valley.db, WEEK))!
    const own = inputs.plots.filter(({ holders }) => holders.includes('Hila Quarm'))
    const outlets = inputs.outlets.filter(({ id }) => own.some(({ outletIds }) => outletIds.includes(id)))
    const doors = (await hila.open('/turns/asked?as=free')).html.querySelectorAll('a[href*="start="]')
    expect(doors.length).toBeGreaterThan(0)
    for (const door of doors) {
      const path = door.getAttribute('href')!.replaceAll('&amp;', '&')
      const pumpId = new URLSearchParams(path.split('?')[1]).get('pump')
      expect(outlets.map((outlet) => outlet.pumpId)).toContain(pumpId)
      const { html } = await hila.open(path)
      const offered = html.querySelectorAll('input[name=outletId], [name=outletId] option[value!=""]')
      expect(offered.map((one) => one.getAttribute('value')).sort()).toEqual(outlets.map(({ id }) => id).sort())
      const chosen = html
        .querySelector('input[name=outletId][checked], [name=outletId] option[selected]')!
        .getAttribute('value')
      expect(outlets.find(({ id }) => id === chosen)?.pumpId).toBe(pumpId)
    }
    const rows = (await hila.open('/turns/asked?as=free')).html.querySelectorAll('main tbody tr')
    const isDoor = (row: (typeof rows)[number]) => row.querySelector('a') !== null
    const ofOwn = (row: (typeof rows)[number]) => row.querySelector('td:last-child')!.text !== '–'
    expect(new Set(rows.map(ofOwn)).size).toBe(2)
    expect(rows.map(isDoor)).toEqual(rows.map(ofOwn))
    // Who speaks for all books all hours.
    const all = (await chair.open('/turns/asked?as=free')).html.querySelectorAll('main tbody tr')
    expect(all.every(isDoor)).toBe(true)
    expect(all.length).toBeGreaterThan(doors.length)
  })

  it('shows the free hours, books them, and shows the turn on its day and on the sheet', async () => {
    const [wish] = await possible()
    expect((await chair.open('/turns/asked?as=free')).words).toContain('may still be booked')
    const page = await chair.fill('/turns/ask?as=free', fieldsOf(wish!))
    expect(page.path).toBe(`/log/days/${wish!.on}`)
    expect(page.words).toContain('Brought in by a later change')
    expect((await chair.open(`/turns/weeks/${WEEK}/sheet`)).words).toContain('booked from the free hours')
  })

  it('takes no water of a plot that two hold, and lets nobody stand in, without how the other agreed', async () => {
    const [wish] = await possible()
    const turn = (await standingWeek(valley.db, WEEK))!.standing.find(
      ({ on, plotId }) => on > FROM && plotId !== wish!.plotId,
    )!
    const people = await chair.open('/people/plots/new')
    const [hilaId, iskoId, goroId] = ['Hila', 'Isko', 'Goro'].map((name) => optionValue(people, 'holderIds', name)!)
    for (const plotId of [wish!.plotId, turn.plotId!]) await holdFromToday(valley.db, plotId, [hilaId!, iskoId!])
    const hila = await valley.signIn('hila')
    const marks = async () =>
      (await valley.db.selectFrom('holderMark').select(['personId', 'given']).execute()).map((row) => ({ ...row }))

    const booked = await hila.fill('/turns/ask?as=free', fieldsOf(wish!))
    expect(booked.words).toMatch(/Isko .*holds this plot too/)
    expect(await valley.db.selectFrom('booking').selectAll().where('plotId', '=', wish!.plotId).execute()).toEqual([])
    expect((await hila.send(booked, { otherGiven: 'present' })).path).toBe(`/log/days/${wish!.on}`)
    expect(await marks()).toEqual([{ personId: iskoId, given: 'present' }])

    const standIn = await hila.fill(`/turns/${turn.bookId}/otherwise?as=stand-in`, { personId: goroId! })
    expect(standIn.words).toMatch(/Isko .*holds this plot too/)
    expect((await hila.send(standIn, { otherGiven: 'message' })).path).toBe(`/log/days/${turn.on}`)
    expect((await marks()).at(-1)).toEqual({ personId: iskoId, given: 'message' })
  })

  it('says with the number what fits where more is asked for, and that number is then booked', async () => {
    const [wish] = await possible()
    let askedM3 = 900
    for (let round = 0; round < 5; round++) {
      const page = await chair.fill('/turns/ask?as=free', fieldsOf(wish!, askedM3))
      if (page.path.startsWith('/log/days/')) break
      const said = page.html.querySelector('#volume-error')?.text ?? page.words
      const fits = /([\d.]+) m³ (fit|more within|of released water left|may be booked)/.exec(said)
      expect(fits, said).not.toBeNull()
      expect(Number(fits![1])).toBeLessThan(askedM3)
      askedM3 = Number(fits![1])
    }
    expect(askedM3).toBeLessThan(900)
    expect((await chair.open(`/log/days/${wish!.on}`)).words).toContain('Brought in by a later change')
  })

  it('gives one hour once, though a hundred ask for it at the same moment', async () => {
    const all = await possible()
    const [first] = all
    const rivals = all.filter((wish) => wish.on === first!.on && wish.startMinute === first!.startMinute)
    const page = await chair.open('/turns/ask?as=free')
    const csrf = page.html.querySelector('input[name=_csrf]')!.getAttribute('value')!
    const answers = await Promise.all(
      Array.from({ length: 100 }, (_, at) =>
        chair.agent
          .post('/turns/ask?as=free')
          .type('form')
          .send({ _csrf: csrf, _form: `key-${at}`, ...fieldsOf(rivals[at % rivals.length]!) }),
      ),
    )
    const booked = await valley.db.selectFrom('booking').selectAll().execute()
    const statuses = answers.map((answer) => answer.status)
    expect(statuses.filter((status) => status === 303)).toHaveLength(booked.length)
    expect(new Set(statuses)).toEqual(new Set([303, 422]))
    const week = (await standingWeek(valley.db, WEEK))!
    const turns = week.standing.filter((turn) => turn.on === first!.on)
    for (const [at, turn] of turns.entries())
      for (const other of turns.slice(at + 1)) {
        if (other.pumpId !== turn.pumpId) continue
        const apart = other.startMinute >= turn.endMinute || turn.startMinute >= other.endMinute
        expect(apart, `${turn.bookId} and ${other.bookId}`).toBe(true)
      }
  }, 60_000)

  it('never goes beyond the water, the entitlement or the flow, and says which beside the field', async () => {
    const [wish] = await possible()
    const page = await chair.fill('/turns/ask?as=free', fieldsOf(wish!, 900))
    expect(page.status).toBe(422)
    expect(page.html.querySelector('#volume-error')!.text).toMatch(/may book .* more within its part/)
    expect(page.html.querySelector('#volume')!.getAttribute('value')).toBe('900')
    const past = await chair.fill('/turns/ask?as=free', { ...fieldsOf(wish!), onDate: '2026-11-24' })
    expect(past.words).toContain('This hour is over')
    expect(await valley.db.selectFrom('booking').selectAll().execute()).toEqual([])
  })

  it('opens the hours and the water again when the turn is called off', async () => {
    const [wish] = await possible()
    const open = async () => {
      const week = (await standingWeek(valley.db, WEEK))!
      const domain = { inputs: week.inputs, results: week.results, turns: week.standing }
      const pump = week.inputs.pumps.find(
        (one) => one.id === week.inputs.outlets.find((outlet) => outlet.id === wish!.outletId)!.pumpId,
      )!
      return [openWaterM3(domain, pump.weirId), leftOfEntitlementM3(domain, wish!.plotId)]
    }
    const before = await open()
    await chair.fill('/turns/ask?as=free', fieldsOf(wish!))
    const after = await open()
    expect(before.map((volume, at) => Math.round((volume - after[at]!) * 1000))).toEqual([500, 500])
    const { turnId } = await valley.db.selectFrom('booking').select('turnId').executeTakeFirstOrThrow()
    expect((await excuse(chair, turnId)).status).toBe(200)
    expect(await open()).toEqual(before)
  })

  it('offers no hours of a pump that stands still', async () => {
    const wish = (await possible()).find((one) => one.on > FROM)!
    const pumpId = (await standingWeek(valley.db, WEEK))!.inputs.outlets.find((one) => one.id === wish.outletId)!.pumpId
    const change = { pumpId, kind: 'down', since: '00:05' }
    await chair.fill(`/log/days/${FROM}`, change, { action: `/log/days/${FROM}/less` })
    const [before] = (await possible()).filter((one) => one.outletId === wish.outletId && one.on === FROM)
    const tried = { ...wish, on: FROM, startMinute: before?.startMinute ?? 720 }
    const page = await chair.fill('/turns/ask?as=free', fieldsOf(tried))
    expect(page.status).toBe(422)
    expect(await valley.db.selectFrom('booking').selectAll().execute()).toEqual([])
  })
})
