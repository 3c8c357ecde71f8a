import { describe, expect, it } from 'vitest'
import { addAbstraction, findAbstraction } from '../../../server/abstractions/draw/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

const OFF_THE_LIST = '/log/water?use=irrigation'

/** A draw off the list of the example valley, at outlet 7 for plot 31. */
async function valleyWithDraw() {
  const book = await openValley()
  const dovi = await book.signIn('dovi')
  const page = await dovi.open(OFF_THE_LIST)
  const where = { place: optionValue(page, 'place', 'Outlet 7'), plotId: optionValue(page, 'plotId', '31') }
  return { ...book, dovi, where }
}

describe('a wrong day or clock', () => {
  it('set to the year 2000 is named on the entry and stays on the list that is looked at', async () => {
    const { dovi, where, setNow, signIn } = await valleyWithDraw()
    expect((await dovi.open('/log/check')).words).toContain('Nothing is open')
    setNow('2000-01-01T10:00:00Z')
    const then = await signIn('dovi')
    const entry = await then.fill(OFF_THE_LIST, { ...where, opening: '2599', closing: '2603', onDate: '2000-01-01' })
    expect(entry.words).toContain('days after its day. Likely the day or the clock')
    setNow(`${VALLEY_TODAY}T11:00:00Z`)
    const open = await dovi.open('/log/check')
    expect(open.words).toMatch(/1 Jan 2000 ?Plot 31 ▲ It was written 9,824 days after its day/)
    const settle = `${entry.path.replace('lines/drawn', 'settle/odd')}/day-long-before-writing`
    const amaru = await signIn('amaru')
    const after = await amaru.fill(settle, { words: 'the clock of the phone was at its first day' })
    expect(after.words).toContain('11:00: the clock of the phone was at its first day (Amaru ')
  })

  it('that ran back in a book of before is named, since forms are now never taken before the entry that stands', async () => {
    const { db, dovi, where } = await valleyWithDraw()
    const entry = await dovi.fill(OFF_THE_LIST, { ...where, opening: '2599', closing: '2603' })
    const id = entry.path.split('/').at(-1)!
    const { weirId, pumpId, outletId, plotId } = (await findAbstraction(db, id))!
    const [{ writtenBy }] = (await db.selectFrom('entry').select('writtenBy').where('id', '=', id).execute()) as [
      { writtenBy: string },
    ]
    const none = {
      turnId: null,
      takerId: null,
      openingM3: null,
      closingM3: null,
      flowM3PerH: null,
      startTime: null,
      endTime: null,
      remark: null,
    }
    const drawn = {
      ...none,
      onDate: VALLEY_TODAY,
      use: 'irrigation',
      method: 'hours',
      hours: 1,
      volumeM3: 4,
      uncertaintyM3: 1,
      grade: 'estimated',
    } as const
    const back = await db
      .transaction()
      .execute((trx) =>
        addAbstraction(
          { trx, writtenBy, writtenAt: '2000-01-01T10:00:00.000Z' },
          { ...drawn, weirId, pumpId, outletId, plotId },
        ),
      )
    expect((await dovi.open(`/log/lines/drawn/${back}`)).words).toContain(
      'It was written before the entry that stands before it. Likely the day or the clock',
    )
  })

  it('of a year ago is taken and named, since no balance of this season will count it', async () => {
    const { dovi, where } = await valleyWithDraw()
    const entry = await dovi.fill(OFF_THE_LIST, { ...where, opening: '10', closing: '12', onDate: '2025-11-25' })
    expect(entry.words).toContain('It was written 364 days after its day. Likely the day or the clock is wrong.')
    expect((await dovi.open('/log/check')).words).toContain('It was written 364 days after its day.')
  })

  it('is not suspected of paper that is typed in within its season', async () => {
    const { dovi, where } = await valleyWithDraw()
    const entry = await dovi.fill(OFF_THE_LIST, { ...where, opening: '10', closing: '12', onDate: '2026-08-04' })
    expect(entry.words).not.toContain('days after its day')
  })
})

describe('more than a pump gives in a day', () => {
  const byHours = `${OFF_THE_LIST}&method=hours`

  it('counts as typed where hours were, says so, and blames no taker nor reading', async () => {
    const { dovi, where } = await valleyWithDraw()
    const entry = await dovi.fill(byHours, { ...where, hours: '25' })
    expect(entry.words).toContain('117.5 m³ (estimated')
    expect(entry.words).toContain('It counts as it was written until somebody corrects it.')
    expect(entry.words).toContain('Likely the hours or the amount was written wrong')
    expect(entry.words).not.toContain('so it is not counted')
    expect(entry.words).not.toContain('one of the readings was copied wrong')
    expect((await dovi.open('/log')).words).toContain('Written for this day: 117.5 m³')
  })

  it('is set aside where meter readings give it, until somebody has looked at them again', async () => {
    const { dovi, where } = await valleyWithDraw()
    const entry = await dovi.fill(OFF_THE_LIST, { ...where, opening: '2599', closing: '3599' })
    expect(entry.words).toContain('so it is not counted.')
    const looked = { closing: '3599', asRead: 'yes', reason: 'looked again' }
    const corrected = await dovi.fill(`${entry.path}/correct`, looked)
    expect(corrected.words).toContain('1,000 m³ (measured')
    expect(corrected.words).toContain('It counts as it was written until somebody corrects it.')
  })
})
