import fc from 'fast-check'
import { expect, it } from 'vitest'
import { declaredOn } from '../../../domain/water/drought/declared.ts'
import { proposeDroughtStage } from '../../../domain/water/drought/stage.ts'

const day = (at: number) => `2031-03-0${at}`

it('the declaration in force is the one made last, and of one day the one written last, until it is lifted', () => {
  const declarations = fc.array(fc.integer({ min: 1, max: 5 }), { maxLength: 5 })
  const lifts = fc.array(fc.record({ of: fc.nat(4), at: fc.integer({ min: 1, max: 6 }) }), { maxLength: 3 })
  fc.assert(
    fc.property(declarations, lifts, fc.integer({ min: 0, max: 7 }), (days, lifted, today) => {
      // Lived through: day after day, and on each the declarations as written, a later one in place of an earlier.
      let inForce: number | null = null
      for (let at = 0; at <= today; at++) for (const [place, from] of days.entries()) if (from === at) inForce = place
      if (lifted.some(({ of, at }) => of === inForce && at <= today)) inForce = null
      const found = declaredOn({
        declarations: days.map((from, place) => ({ id: `d${place}`, fromOn: day(from), seq: place })).toReversed(),
        lifts: lifted.map(({ of, at }) => ({ declarationId: `d${of}`, liftedOn: day(at) })),
        on: day(today),
      })
      expect(found?.id ?? null).toBe(inForce === null ? null : `d${inForce}`)
    }),
  )
})

it('a mark is passed below it and not at it, by the last two readings of its own weir by their days', () => {
  const stages = [
    { stageId: 'level', severity: 1, trigger: { weirId: 'upper', belowLevelM: 99 } },
    { stageId: 'cover', severity: 2, trigger: { weirId: 'lower', belowCoverDays: 20 } },
  ]
  const read = (weirId: string, at: number, waterLevelM: number, coverDays: number | null = null) => ({
    ...{ weirId, readOn: day(at), waterLevelM, coverDays },
  })
  const found = (...readings: ReturnType<typeof read>[]) => {
    const { proposed, waitingFor, readings: behind } = proposeDroughtStage({ stages, readings })
    return [proposed?.stageId, waitingFor?.stageId, behind.map(({ readOn }) => readOn)]
  }
  expect(found()).toEqual([undefined, undefined, []])
  expect(found(read('upper', 2, 98.999), read('upper', 1, 98.999))).toEqual(['level', undefined, [day(1), day(2)]])
  expect(found(read('upper', 1, 98.999), read('upper', 2, 99))).toEqual([undefined, undefined, []])
  expect(found(read('upper', 2, 98.999), read('upper', 1, 99))).toEqual([undefined, 'level', []])
  expect(found(read('upper', 1, 98), read('lower', 2, 98, 20))).toEqual([undefined, 'level', []])
  expect(found(read('lower', 1, 99, 19.9), read('lower', 2, 99, 19.9))).toEqual(['cover', undefined, [day(1), day(2)]])
  expect(found(read('lower', 1, 99, 19.9), read('lower', 2, 99, 20))).toEqual([undefined, undefined, []])
  expect(found(read('lower', 1, 99, 5), read('lower', 2, 99, null))).toEqual([undefined, undefined, []])
  expect(found(read('lower', 1, 1, 5), read('lower', 3, 1, 5), read('lower', 2, 1, 30))).toEqual([
    undefined,
    'cover',
    [],
  ])
})
