import { beforeAll, describe, expect, it } from 'vitest'
import { pumpWater } from '../../../server/abstractions/balance/pump-balance-store.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { bookedTurns } from '../../../server/rotation/published/turn-store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { answersOf, optionValue, type Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
let attendant: Visitor
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
  attendant = await valley.signIn('dovi')
  const form = await chair.open('/works/tanks/new')
  const pumpId = optionValue(form, 'pumpId', 'Heron')
  await chair.send(form, { number: '7', name: 'Hill', pumpId, area: '6', height: '1.2' })
  // 6 m2 x 25 cm: 1.5 m3.
  const level = await attendant.open('/log/round?as=tank')
  const tankId = optionValue(level, 'tankId', 'Hill')
  await attendant.send(level, { tankId, moment: 'dawn', level: '25', atTime: '06:00' })
})

const draft = async () =>
  (await shownWeek(valley.db, answers.rotation, {
    group: (await currentGroup(valley.db))!,
    weekStartOn: NEXT,
    today: VALLEY_TODAY,
  }))!

async function hang(outlet: string, fields: Record<string, string> = {}) {
  const form = await chair.open('/works/settle/tank-of-outlet')
  const outletId = optionValue(form, 'outletId', outlet)
  return chair.send(form, { outletId, tankId: optionValue(form, 'tankId', 'Hill'), fromOn: NEXT, ...fields })
}

async function use(fields: Record<string, string>) {
  const form = await chair.open('/works/settle/tank-use')
  return chair.send(form, { tankId: optionValue(form, 'tankId', 'Hill'), fromOn: '2026-11-25', ...fields })
}

async function gravityTurns() {
  const week = (await bookedTurns(valley.db, NEXT))!
  return week.turns.filter(({ outlet }) => outlet?.tank?.name === 'Hill')
}

describe('a raised tank of the example valley', () => {
  it('is fed by its own pump only, and keeps what people and animals drink', async () => {
    const other = await hang('9 line 2')
    expect(other.status).toBe(422)
    expect(other.html.querySelector('#tankId-error')?.text).toContain('filled by another pump')
    const half = await use({ kept: '1.5', toTime: '' })
    expect(half.html.querySelector('#toTime-error')?.text).toContain('Write both hours')
    expect(half.html.querySelector('input[name=kept]')?.getAttribute('value')).toBe('1.5')
    // A tank of which all is kept back gives nothing.
    for (const kept of ['8', '7.2'])
      expect((await use({ kept })).html.querySelector('#kept-error')?.text, kept).toContain('holds 7.2 m³')
    const dry = await use({ kept: '0', servesStand: 'on' })
    expect(dry.html.querySelector('#kept-error')?.text).toContain('say how many m³ always stay in it')
    expect((await draft()).inputs.tanks!.map(({ name }) => name)).toEqual(['Crossing tank'])
  })

  it('gives gravity turns in the draft out of what the direct turns leave', async () => {
    await use({ kept: '1.5', servesStand: 'on' })
    await hang('7 line 1')
    const page = await hang('8 line 1')
    expect(page.path).toBe('/works?as=tanks')
    // 1.5 m3 on 6 m2.
    expect(page.words).toContain(
      '1.5 m³ stay in it for people and animals at the stand. The mark is at 25 cm above the floor',
    )
    expect(page.words).toContain('05:00–20:00, outside the pump’s hours')
    expect(page.words).toContain('Let a licensed builder reckon the stand and its footing')
    const { inputs, results } = await draft()
    const tank = inputs.tanks!.find(({ name }) => name === 'Hill')!
    expect(tank).toMatchObject({ capacityM3: 7.2, floorM3: 1.5, startM3: 1.5, servesStand: true })
    const fed = new Set(inputs.outlets.filter(({ tankId }) => tankId === tank.id).map(({ id }) => id))
    const gravity = results.turns.filter(({ outletId }) => fed.has(outletId))
    expect(gravity.length).toBeGreaterThan(1)
    const drawnM3 = gravity.reduce((sum, { volumeM3 }) => sum + volumeM3, 0)
    // It begins at its mark, so that all that its turns draw has to be pumped into it first.
    const fills = results.fills!.filter(({ tankId }) => tankId === tank.id)
    expect(fills.reduce((sum, { volumeM3 }) => sum + volumeM3, 0)).toBeCloseTo(drawnM3, 6)
    for (const { on, startMinute } of gravity) {
      const flow = inputs.pumps.find(({ id }) => id === tank.pumpId)!.flowM3PerHByDay[on]!
      expect(flow[Math.floor(startMinute / 60)]).toBe(0)
    }
  })

  it('is on the published sheet with its filling, and each turn says where it comes from and when to stop', async () => {
    const page = await chair.open(`/turns/weeks/${NEXT}`)
    expect(page.words).toContain('Tank 7 Hill is planned with 1.5 m³ in it when the week begins')
    // Whoever settled it does not publish by it alone.
    const other = await valley.signIn('besi')
    const published = await other.send(
      await other.open(`/turns/weeks/${NEXT}/publish`),
      {},
      `/turns/weeks/${NEXT}/publish`,
    )
    expect(published.words).toContain('Published')
    const row = await valley.db
      .selectFrom('publishedWeek')
      .select('formatVersion')
      .where('weekStartOn', '=', NEXT)
      .executeTakeFirstOrThrow()
    expect(row.formatVersion).toBe(3)
    const sheet = await chair.open(`/turns/weeks/${NEXT}/sheet`)
    const filling = sheet.html.querySelectorAll('.filling').find((one) => one.text.includes('Fill tank 7'))
    expect(filling!.text).toMatch(/Fill tank 7, \d\d:\d\d–\d\d:\d\d, about \d/)
    expect(sheet.words).toContain('from tank 7, by gravity')
    expect(sheet.words).toContain('A turn from a tank stops at the time, or when the tank is down to its mark')
    const [turn] = await gravityTurns()
    const why = await chair.open(`/turns/${turn!.bookId}`)
    expect(why.words).toContain('It comes from tank 7, by gravity')
    expect(why.words).toContain('The tank holds 7.2 m³ and keeps 1.5 m³ back')
    expect(why.words).toContain('when the tank is down to its mark')
    const slip = await chair.open(`/turns/${turn!.bookId}/slip`)
    expect(slip.words).toContain('or when tank 7 is down to its mark, whichever comes first')
    expect(slip.words).not.toContain('Stop at the meter reading below')
    const message = await chair.open(`/turns/${turn!.bookId}?as=message`)
    expect(message.words).toContain('Tank 7, by gravity. Stop at')
    const calendar = await chair.agent.get(`/turns/${turn!.bookId}.ics`)
    expect(calendar.text.replaceAll('\r\n ', '')).toContain('Tank 7\\, by gravity')
  })

  it('is filled less when the pump stops, and its turns of that evening are cut with it', async () => {
    const turn = (await gravityTurns()).find(({ on, volumeM3 }) => on > NEXT && volumeM3 > 3)!
    const page = await attendant.open(`/log/days/${turn.on}`)
    expect(page.words).toMatch(/Fill tank 7: \d\d:\d\d–\d\d:\d\d, about \d/)
    const answer = await attendant.send(
      page,
      { pumpId: turn.pumpId, kind: 'down', since: '08:00' },
      `/log/days/${turn.on}/less`,
    )
    expect(answer.status).toBe(200)
    const after = await chair.open(`/log/days/${turn.on}`)
    expect(after.words).not.toMatch(/Fill tank 7: 0[89]/)
    // The board follows: it began at its mark, so the fillings still add up to what its turns now draw, to a tenth each.
    const board = await chair.open(`/turns/weeks/${NEXT}/sheet`)
    const rows = board.html.querySelectorAll('.filling').filter((one) => one.text.includes('Fill tank 7'))
    const filledM3 = rows.reduce((sum, one) => sum + Number(/about (\d+\.\d)/.exec(one.text)![1]), 0)
    const stillM3 = (await gravityTurns()).reduce((sum, one) => sum + (one.droppedBy ? 0 : one.volumeM3), 0)
    expect(Math.abs(filledM3 - stillM3)).toBeLessThanOrEqual(0.05 * rows.length)
    const now = (await gravityTurns()).filter(({ on }) => on === turn.on)
    const standing = now.filter(({ droppedBy }) => !droppedBy)
    const agreedM3 = now.filter(({ amendment }) => !amendment).reduce((sum, { volumeM3 }) => sum + volumeM3, 0)
    expect(standing.reduce((sum, { volumeM3 }) => sum + volumeM3, 0)).toBeLessThan(agreedM3)
  })

  it('is left out of the hours that can be booked', async () => {
    const slots = await chair.open('/turns/asked?as=free')
    expect(slots.words).toContain('Outlets that hang on a tank are left out here')
    const form = await chair.open(`/turns/ask?as=free&on=${NEXT}&start=18:00`)
    const offered = answersOf(form, 'outletId').map(({ words }) => words)
    expect(offered.some((label) => label.startsWith('6 '))).toBe(true)
    expect(offered.some((label) => label.startsWith('7 ') || label.startsWith('8 '))).toBe(false)
  })

  it('is logged without the pump’s meter, and its pump’s balance closes', async () => {
    const [turn] = await gravityTurns()
    const { on, pumpId, volumeM3, outlet } = turn!
    const nextDay = new Date(Date.parse(on) + 86_400_000).toISOString().slice(0, 10)
    valley.setNow(`${nextDay}T10:00:00Z`)
    attendant = await valley.signIn('dovi')
    const log = await attendant.open(`/log/days/${on}`)
    expect(log.words).toContain('from tank 7, by gravity')
    const form = await attendant.open(`/log/turns/${turn!.bookId}`)
    expect(form.words).toContain('the pump’s meter does not show this water')
    expect(form.words).not.toContain('Two meter readings')
    const hours = volumeM3 / outlet!.flowM3PerH
    const entry = await attendant.send(form, { hours: hours.toFixed(3), startTime: '18:00', onDate: on })
    expect(entry.words).toContain('from tank 7, by gravity')
    const drawn = await valley.db
      .selectFrom('abstraction')
      .select(['volumeM3', 'method', 'pumpId'])
      .where('turnId', '=', turn!.bookId)
      .executeTakeFirstOrThrow()
    expect(drawn).toMatchObject({ method: 'hours', pumpId })
    expect(drawn.volumeM3).toBeCloseTo(volumeM3, 1)
    // 6 m3 go up that day, the turn takes its own at 18:00, and 0.6 m3 more run at 05:30, before dawn is read at 06:00.
    const early = await attendant.open('/log/water?use=irrigation&method=volume')
    const place = optionValue(early, 'place', 'Outlet 8')
    const plotId = optionValue(early, 'plotId', '8 ')
    await attendant.send(early, { place, plotId, volume: '0.6', unit: 'm3', startTime: '05:30', onDate: nextDay })
    const meter = async (moment: string, day: string, reading: number) => {
      const reads = await attendant.open('/log/round?as=meter')
      const choice = optionValue(reads, 'pumpId', 'Heron')
      await attendant.send(reads, { pumpId: choice, moment, meter: String(reading), atTime: '06:00', onDate: day })
    }
    const level = async (day: string, cm: number) => {
      const reads = await attendant.open('/log/round?as=tank')
      const choice = optionValue(reads, 'tankId', 'Hill')
      await attendant.send(reads, {
        tankId: choice,
        moment: 'dawn',
        level: cm.toFixed(2),
        atTime: '06:00',
        onDate: day,
      })
    }
    await meter('dawn', on, 90_000)
    await meter('dawn', nextDay, 90_006)
    await level(on, 25)
    await level(nextDay, 25 + (100 * (6 - drawn.volumeM3 - 0.6)) / 6)
    const { pumps } = await pumpWater(valley.db, { fromOn: on, toOn: on })
    const { balance } = pumps.find(({ pump }) => pump.id === pumpId)!
    expect(balance).toMatchObject({ pumpedM3: 6, verdict: 'nothing-the-tools-can-show' })
    expect(balance.recordedM3.outlets).toBeCloseTo(drawn.volumeM3 + 0.6, 6)
    expect(Math.abs(balance.unexplainedM3)).toBeLessThan(0.01)
    const page = await attendant.open(`/log/working/pumps?week=${NEXT}`)
    expect(page.words).toContain('what ran before dawn was read belongs to the day before')
  })

  it('refuses the pump’s meter for an outlet on a tank, and says what to do', async () => {
    const form = await attendant.open('/log/water?use=irrigation&method=meter')
    const answer = await attendant.send(form, {
      place: optionValue(form, 'place', 'Outlet 7'),
      plotId: optionValue(form, 'plotId', '7 '),
      opening: '90006',
      closing: '90008',
    })
    expect(answer.status).toBe(422)
    expect(answer.html.querySelector('#closing-error')?.text).toContain('does not show its water')
  })

  it('begins a day that brings less with what was read in it at dawn', async () => {
    const { on, pumpId } = (await gravityTurns()).findLast(({ droppedBy }) => !droppedBy)!
    const volumes = async () =>
      (await gravityTurns()).filter((turn) => turn.on === on && !turn.droppedBy).map(({ volumeM3 }) => volumeM3)
    valley.setNow(`${on}T06:00:00Z`)
    attendant = await valley.signIn('dovi')
    expect(Math.max(...(await volumes()))).toBeGreaterThan(3)
    const form = await attendant.open('/log/round?as=tank')
    const tankId = optionValue(form, 'tankId', 'Hill')
    // 6 m2 x 35 cm: 2.1 m3, of which 0.6 stand above the mark.
    await attendant.send(form, { tankId, moment: 'dawn', level: '35', atTime: '05:50' })
    const page = await attendant.open(`/log/days/${on}`)
    await attendant.send(page, { pumpId, kind: 'down', since: '06:00' }, `/log/days/${on}/less`)
    expect(await volumes()).toEqual([0.6])
  })
})
