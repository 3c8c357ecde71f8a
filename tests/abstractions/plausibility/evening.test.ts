import { beforeEach, describe, expect, it } from 'vitest'
import type { Id } from '../../../domain/id.ts'
import { deliveredByPlot } from '../../../server/abstractions/draw/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

/** The first two turns of pump 1 on the day: 07:00 to 08:43 at outlet 7 for plot 31, 08:50 to 12:24 at outlet 6 for plot 30. */
const [FIRST, SECOND] = ['2026-11-23-22-d2x29u', '2026-11-23-24-d2x29u']
/** What an attendant wrote at the end of the first turn; the meter stood 8 m3 higher, as whoever came next saw. */
const TOO_LOW = { opening: '3210', closing: '3212', startTime: '07:00', endTime: '08:43' }
const NEXT = { opening: '3220', closing: '3228', startTime: '08:50', endTime: '12:24' }
const GAP = 'The reading before this one closed at 3,212, this one opens at 3,220: 8 m³ between them.'

let valley: Awaited<ReturnType<typeof openValley>>
let [dovi, elu, amaru] = [] as unknown as [Visitor, Visitor, Visitor]
beforeEach(async () => {
  valley = await openValley()
  valley.setNow(`${VALLEY_TODAY}T12:40:00Z`)
  const names = ['dovi', 'elu', 'amaru'].map((name) => valley.signIn(name))
  ;[dovi, elu, amaru] = (await Promise.all(names)) as [Visitor, Visitor, Visitor]
})

const logged = (by: Visitor, turn: string, fields: Record<string, string>) => by.fill(`/log/turns/${turn}`, fields)

/** What the plots of both turns received on the day, in m3. */
async function received(): Promise<(number | undefined)[]> {
  const plots = await valley.db
    .selectFrom('plot')
    .select(['entryId', 'number'])
    .where('number', 'in', [30, 31])
    .execute()
  const by = await deliveredByPlot(valley.db, { fromOn: VALLEY_TODAY, toOn: VALLEY_TODAY })
  const of = (number: number) => by.get(plots.find((one) => one.number === number)!.entryId as Id<'plot'>)
  return [of(31), of(30)]
}

describe('a closing that was read too low, so that the pump seems to have given less', () => {
  it('is told by the next reading, gives its water to nobody, and is settled by neither of the two who read', async () => {
    await logged(dovi, FIRST, TOO_LOW)
    const next = await logged(elu, SECOND, NEXT)
    expect(next.words).toContain(GAP)
    expect(await received()).toEqual([2, 8])
    const settle = `${next.path.replace('lines/drawn', 'settle/odd')}/gap-to-last-reading`
    for (const own of [dovi, elu]) {
      expect((await own.open('/log/check')).words).toContain(GAP)
      expect((await own.fill(settle, { words: 'air in the pipe' })).status).toBe(422)
    }
    expect((await amaru.open('/log/check')).words).toContain(GAP)
    expect((await amaru.fill(settle, { words: 'asked both' })).status).toBe(200)
  })

  it('put right, the water is the first plot’s again and no longer anybody’s gap', async () => {
    const first = await logged(dovi, FIRST, TOO_LOW)
    const next = await logged(elu, SECOND, NEXT)
    await amaru.fill(`${first.path}/correct`, { closing: '3220', reason: 'the next one read 3220' })
    expect(await received()).toEqual([10, 8])
    for (const path of ['/log/check', next.path])
      expect((await elu.open(path)).words).not.toContain('this one opens at 3,220')
  })

  it('falls on the next taker where nobody read the start, and is given back with the closing', async () => {
    const first = await logged(dovi, FIRST, TOO_LOW)
    const next = await logged(elu, SECOND, { ...NEXT, opening: '', startUnread: 'yes' })
    expect(next.status).toBe(200)
    expect(await received()).toEqual([2, 16])
    await amaru.fill(`${first.path}/correct`, { closing: '3220', reason: 'seen on the photo' })
    expect(await received()).toEqual([10, 8])
  })

  it('does not bear out that the pump gave less: the start of the next turn says so too', async () => {
    const day = await dovi.open(`/log/days/${VALLEY_TODAY}`)
    const gave = { pumpId: optionValue(day, 'pumpId', '1 '), kind: 'given', gave: '2' }
    expect((await dovi.send(day, gave, `/log/days/${VALLEY_TODAY}/less`)).status).toBe(200)
    const said = 'because the pump was to have given 2 m³, but by this reading'
    const first = await logged(dovi, FIRST, TOO_LOW)
    expect(first.words).not.toContain(said)
    const next = await logged(elu, SECOND, { ...NEXT, endTime: '12:50' })
    expect(next.words).toContain(`${said} (25 Nov 2026, 08:50) it had given 10 m³`)
    const settle = `${next.path.replace('lines/drawn', 'settle/odd')}/pump-gave-more`
    for (const own of [dovi, elu]) expect((await own.fill(settle, { words: 'misread' })).status).toBe(422)
  })

  it('says nothing of the pump where nobody read that start', async () => {
    const day = await dovi.open(`/log/days/${VALLEY_TODAY}`)
    await dovi.send(
      day,
      { pumpId: optionValue(day, 'pumpId', '1 '), kind: 'given', gave: '2' },
      `/log/days/${VALLEY_TODAY}/less`,
    )
    await logged(dovi, FIRST, TOO_LOW)
    const next = await logged(elu, SECOND, { ...NEXT, opening: '', startUnread: 'yes', endTime: '12:50' })
    expect(next.words).not.toContain('because the pump was to have given')
  })
})

/** The line that was written last. */
async function lastLine(): Promise<string> {
  const line = valley.db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .select('entry.id')
  return (await line.orderBy('seq', 'desc').executeTakeFirstOrThrow()).id
}

describe('a bucket test in the evening that gives less than those before', () => {
  it('leaves the turns of before as they are, and is told where it is a third below', async () => {
    const first = await logged(dovi, FIRST, { method: 'hours', startTime: '07:00', endTime: '08:43' })
    const [before] = await received()
    const form = await dovi.open('/log/tests/bucket')
    const outletId = optionValue(form, 'outletId', '7 ')
    const timed = { seconds1: '30', seconds2: '30', seconds3: '30', seconds4: '30' }
    const tested = await dovi.send(form, {
      outletId,
      onDate: VALLEY_TODAY,
      containerLitres: '20',
      pumpState: 'clear',
      ...timed,
    })
    expect(tested.status).toBe(200)
    expect(await received()).toEqual([before, undefined])
    expect((await dovi.open(first.path)).words).toContain('at 4.7 m³ an hour')
    expect((await amaru.open('/log/check')).words).toContain('By a bucket test it gives 2.4 m³ an hour, and gave 4.7')
    const again = await elu.fill(`${first.path}/correct`, { reason: 'looked again' })
    expect(again.words).toContain('at 4.7 m³ an hour')
    expect(await received()).toEqual([before, undefined])
    expect((await elu.open(`${again.path}/correct`)).words).toContain('Its hours count by 4.7 m³ an hour')
  })

  it('as little as a bucket that was filled for another draw', async () => {
    const first = await logged(dovi, FIRST, { method: 'hours', startTime: '07:00', endTime: '08:43' })
    const [before] = await received()
    const timed = { containerLitres: '20', seconds1: '30', seconds2: '30', seconds3: '30', seconds4: '30' }
    const second = await logged(dovi, `${SECOND}?method=bucket`, { ...timed, startTime: '08:50', endTime: '12:24' })
    expect(second.words).toContain('2.4 m³ an hour')
    await elu.fill(`${first.path}/correct`, { reason: 'looked again' })
    expect((await received())[0]).toBe(before)
    const other = await elu.fill(`${first.path.replace(/[^/]+$/, '')}${await lastLine()}/correct`, {
      endTime: '09:43',
      reason: 'an hour more',
    })
    expect(other.words).toContain('at 4.7 m³ an hour')
  })
})
