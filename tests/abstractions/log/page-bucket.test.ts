import { describe, expect, it } from 'vitest'
import { measuredVolumeM3 } from '../../../domain/abstractions/draw/measured-volume.ts'
import { listAbstractions } from '../../../server/abstractions/draw/store.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { abstractionsBook, addTurn, TODAY } from '../book.ts'

async function draw(ada: Visitor, method: string, fields: Record<string, string>) {
  const form = await ada.open(`/log/water?use=irrigation&method=${method}`)
  const [place, plotId] = [optionValue(form, 'place', 'Outlet 3'), optionValue(form, 'plotId', '7 Mango')]
  return ada.send(form, { place, plotId, ...fields })
}

const FILLS = { containerLitres: '20', seconds1: '24', seconds2: '24', seconds3: '24', seconds4: '24' }

describe('the rate of a bucket', () => {
  it('is told with its range, serves the next hours of the pump, and goes when the meter is back', async () => {
    const { ada, db } = await abstractionsBook()
    const volumes = async () => (await listAbstractions(db, { fromOn: TODAY, toOn: TODAY })).map((one) => one.volumeM3)
    // 20 litres in 24 seconds are 3 m3 an hour; careful 5 per cent, and the sun of one more hour 10 per cent.
    const timed = await draw(ada, 'bucket', { ...FILLS, startTime: '07:00', endTime: '09:00' })
    const part = Math.hypot(0.05, 0.1)
    expect(timed.words).toContain(`anything from ${(3 * (1 - part)).toFixed(1)} to ${(3 * (1 + part)).toFixed(1)} m³`)
    await draw(ada, 'hours', { hours: '1', startTime: '09:30', endTime: '10:30' })
    expect(await volumes()).toEqual([6, 3])
    const [, byRate] = await listAbstractions(db, { fromOn: TODAY, toOn: TODAY })
    expect(byRate!.uncertaintyM3).toBeCloseTo(3 * Math.hypot(part, 0.3), 9)
    await draw(ada, 'meter', { opening: '100', closing: '102', startTime: '11:00', endTime: '12:00' })
    await draw(ada, 'hours', { hours: '1', startTime: '12:30', endTime: '13:30' })
    // Outlet 3 was tested at 2 m3 an hour.
    expect(await volumes()).toEqual([6, 3, 2, 2])
  })

  it('stands with its range on the form of a turn that is told by its hours', async () => {
    const { ada, writing, ...ids } = await abstractionsBook()
    const turnId = await writing((pen) => addTurn(pen, { ...ids }))
    await draw(ada, 'bucket', { ...FILLS, startTime: '07:00', endTime: '09:00' })
    // 3 m3 an hour; the bucket, its sun and that of another hour leave 32 parts in 100 open.
    expect((await ada.open(`/log/turns/${turnId}?method=hours`)).words).toMatch(
      /3(\.0+)? m³ an hour by the bucket on 11 Jun 2026; 2(\.0)? to 4(\.0)? over the day/,
    )
  })

  it('is never surer over more hours, and no less sure than in one where a tank feeds it', () => {
    const part = (minutes: number, underSun: boolean) => {
      const bucket = { method: 'bucket' as const, containerLitres: 20, seconds: [24, 25, 23, 24], minutes, underSun }
      const { volumeM3, uncertaintyM3 } = measuredVolumeM3(bucket)
      return uncertaintyM3! / volumeM3!
    }
    const parts = [30, 60, 90, 120, 180, 240, 600].map((minutes) => part(minutes, true))
    expect(parts).toEqual(parts.toSorted((a, b) => a - b))
    expect(parts.at(-1)).toBeGreaterThan(parts[0]!)
    expect(part(600, false)).toBeCloseTo(part(30, true), 12)
  })
})
