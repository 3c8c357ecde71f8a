import { describe, expect, it } from 'vitest'
import { pumpBalance } from '../../../domain/abstractions/balance/pump-balance.ts'
import { pumpedOver, tankRises } from '../../../domain/abstractions/balance/pump-days.ts'
import { pumpWater } from '../../../server/abstractions/balance/pump-balance-store.ts'
import { optionValue } from '../../support/visitor.ts'
import { abstractionsBook, addTurn, TODAY } from '../book.ts'

describe('what passed a pump’s meter in a day', () => {
  const dawn = (on: string, reading: number) => ({ on, moment: 'dawn' as const, reading })
  const dusk = (on: string, reading: number) => ({ on, moment: 'dusk' as const, reading })
  const meter = { meterDigits: 3, readingStepM3: 0 }
  const tank = { tankId: 'hill', areaM2: 4, heightM: 2 }

  it('is one stretch up to the dawn at which it was read again, a week at most', () => {
    const over = pumpedOver({ readings: [dawn('2026-06-01', 10), dawn('2026-06-08', 80)], ...meter })
    expect(over).toMatchObject([{ on: '2026-06-01', untilOn: '2026-06-08', volumeM3: 70 }])
    expect(pumpedOver({ readings: [dawn('2026-06-01', 10), dawn('2026-06-09', 80)], ...meter })).toEqual([])
  })

  it('holds the tank for half full where it was not read, a doubt that cancels in the sum but for its two ends', () => {
    const day = (at: number) => ({ on: `2026-06-0${at}`, untilOn: `2026-06-0${at + 1}`, toDusk: false })
    const stretches = [1, 2, 3, 4, 5].map(day)
    const bare = tankRises({ readings: [], ...tank, stretches })
    expect(bare.unread).toBe(5)
    const lines = bare.rises.map((rise) => ({ ...rise, kind: 'tank-rise' as const }))
    // The tank holds 8 m3; an unread end may be 4 off either way, and only the first and the last do not cancel.
    expect(pumpBalance({ lines }).toleranceM3).toBeCloseTo(Math.hypot(4, 4), 9)
    expect(pumpBalance({ lines }).recordedM3['tank-rise']).toBe(0)
    const ends = [dawn('2026-06-01', 0.5), dawn('2026-06-06', 1.5)]
    const known = tankRises({ readings: ends, ...tank, stretches }).rises
    const whole = pumpBalance({ lines: known.map((rise) => ({ ...rise, kind: 'tank-rise' as const })) })
    expect(whole.recordedM3['tank-rise']).toBeCloseTo(4, 9)
    expect(whole.toleranceM3).toBeLessThan(0.1)
  })

  it('runs from dawn to the next dawn, else to dusk, through the last number of the counter', () => {
    const readings = [dawn('2026-06-01', 990), dusk('2026-06-01', 5), dawn('2026-06-02', 6), dusk('2026-06-02', 20)]
    expect(pumpedOver({ readings, ...meter })).toMatchObject([
      { on: '2026-06-01', volumeM3: 16 },
      { on: '2026-06-02', volumeM3: 14 },
    ])
  })

  it('leaves out a day without a dawn, without an end, or with a meter that ran back', () => {
    expect(pumpedOver({ readings: [dusk('2026-06-01', 5)], ...meter })).toEqual([])
    expect(pumpedOver({ readings: [dawn('2026-06-01', 5)], ...meter })).toEqual([])
    expect(pumpedOver({ readings: [dawn('2026-06-01', 50), dusk('2026-06-01', 40)], ...meter })).toEqual([])
  })

  it('has the tank rise or fall over the same days', () => {
    const readings = [dawn('2026-06-01', 0.2), dusk('2026-06-01', 1.2), dawn('2026-06-02', 0.7)]
    const stretches = [{ on: '2026-06-01', untilOn: '2026-06-02', toDusk: false }]
    const { rises, unread } = tankRises({ readings, ...tank, stretches })
    expect(rises).toMatchObject([{ on: '2026-06-01', volumeM3: 2 }])
    expect(unread).toBe(0)
  })
})

describe('the balance of a pump', () => {
  async function readBook() {
    const { writing, ...book } = await abstractionsBook()
    const { ada } = book
    const turnId = await writing((pen) => addTurn(pen, book))
    const log = (closing: string) =>
      ada.fill(`/log/turns/${turnId}`, {
        opening: '100',
        closing,
        startTime: '08:00',
        endTime: '10:00',
      })
    const read = async (moment: string, meter: string) => {
      const form = await ada.open('/log/round?as=meter')
      const atTime = moment === 'dawn' ? '06:00' : '16:30'
      return ada.send(form, { pumpId: optionValue(form, 'pumpId', '1 Lower'), moment, meter, atTime })
    }
    return { ...book, log, read }
  }

  it('names the water that went through the meter without a line, and the day', async () => {
    const { ada, log, read, db } = await readBook()
    await log('104')
    await read('dawn', '100')
    const page = await read('dusk', '110')
    expect(page.path).toBe('/log/working/pumps')
    expect(page.words).toContain('6 m³ (60% of what was pumped) went through the meter and no line was written')
    expect(page.html.querySelector(`a[href="/log/days/${TODAY}"]`)?.text).toContain('6 m³')
    const { all } = await pumpWater(db, { fromOn: TODAY, toOn: TODAY })
    expect(all).toMatchObject({ pumpedM3: 10, unexplainedM3: 6, recordedM3: { outlets: 4 } })
    expect((await ada.open('/log/working/pumps?week=2026-05-01')).words).toContain(
      'Cannot say: no day has the meter read',
    )
  })

  it('counts the rise of the tank, and says when the tools show nothing', async () => {
    const { ada, log, read } = await readBook()
    await ada.fill('/works/tanks/new', {
      number: '1',
      name: 'Hill',
      pumpId: optionValue(await ada.open('/works/tanks/new'), 'pumpId', 'Lower'),
      area: '4',
      height: '2',
    })
    const level = async (moment: string, cm: string, atTime: string) => {
      const form = await ada.open('/log/round?as=tank')
      return ada.send(form, { tankId: optionValue(form, 'tankId', '1 Hill'), moment, level: cm, atTime })
    }
    await level('dawn', '20', '06:00')
    expect((await level('dusk', '500', '16:30')).html.querySelector('#level-error')?.text).toContain('only 200 cm high')
    await level('dusk', '170', '16:30')
    await log('104')
    await read('dawn', '100')
    const page = await read('dusk', '110')
    // 10 pumped, 4 to the turn, 6 into the tank: 4 m2 x 1.5 m.
    expect(page.words).toContain('nothing the tools can show; 0 m³ is less than the 0.3 m³')
  })

  it('leaves out, and names, a day whose meter was not read at both ends', async () => {
    const { log, read } = await readBook()
    await log('104')
    expect((await read('dusk', '110')).words).toContain('Cannot say')
  })

  it('refuses a reading of a day to come', async () => {
    const { ada } = await readBook()
    const form = await ada.open('/log/round?as=meter')
    const pumpId = optionValue(form, 'pumpId', '1 Lower')
    const page = await ada.send(form, { pumpId, moment: 'dawn', meter: '5', atTime: '06:00', onDate: '2026-06-12' })
    expect(page.html.querySelector('#onDate-error')?.text).toContain('has not come yet')
  })
})
