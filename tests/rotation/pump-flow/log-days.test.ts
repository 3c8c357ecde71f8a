import { expect, it } from 'vitest'
import { addAbstraction, TOLD_AS_VOLUME } from '../../../server/abstractions/draw/store.ts'
import { addPumpDaySky, pumpLogDays } from '../../../server/rotation/pump-flow/store.ts'
import { addPump } from '../../../server/works/pump/store.ts'
import { abstractionsBook } from '../../abstractions/book.ts'

it('the days of a pump tell what was said of its own sky and what was drawn from it, and nothing of another pump', async () => {
  const { db, writing, weirId, pumpId } = await abstractionsBook()
  const made = { usualFlowM3PerH: 3, meterDigits: 5, outletsAtOnce: 1, usualDayM3: null, fromOn: '2026-06-01' }
  const otherId = await writing((pen) =>
    addPump(pen, { number: 2, name: 'Upper', weirId, firstHour: 7, lastHour: 17, sunThresholdWPerM2: 250, ...made }),
  )
  const told = { use: 'irrigation', uncertaintyM3: 0.2, grade: 'measured', weirId } as const
  const draw = (id: string, onDate: string, volumeM3: number) =>
    writing((pen) => addAbstraction(pen, { ...TOLD_AS_VOLUME, ...told, pumpId: id, onDate, volumeM3 }))
  const say = (id: string, onDate: string, sky: 'clear' | 'dull') =>
    writing((pen) => addPumpDaySky(pen, { pumpId: id, onDate, sky, wholeDay: true }))
  await draw(pumpId, '2026-06-08', 20)
  await say(pumpId, '2026-06-08', 'clear')
  await draw(otherId, '2026-06-08', 5)
  await say(otherId, '2026-06-08', 'dull')
  await draw(otherId, '2026-06-09', 6)
  await say(otherId, '2026-06-09', 'clear')
  const hours = { firstHour: 7, lastHour: 17, usualFlowM3PerH: 3 }
  const days = await pumpLogDays(db, [
    { id: pumpId, ...hours },
    { id: otherId, ...hours },
  ])
  expect(days.get(pumpId)).toEqual([{ on: '2026-06-08', volumeM3: 20, sky: 'clear', wholeDay: true }])
  expect(days.get(otherId)).toEqual([
    { on: '2026-06-08', volumeM3: 5, sky: 'dull', wholeDay: true },
    { on: '2026-06-09', volumeM3: 6, sky: 'clear', wholeDay: true },
  ])
})
