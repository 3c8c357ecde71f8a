import { beforeEach, describe, expect, it } from 'vitest'
import { addBurdens } from '../../../domain/rotation/timetable/burdens.ts'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownDay } from '../../../server/rotation/day/lines.ts'
import { carriedTurns } from '../../../server/rotation/outcome/carried-turns.ts'
import { outcomesOf, saidOf } from '../../../server/rotation/outcome/store.ts'
import { agreedTurns, findPublishedWeek, publishedWeeks } from '../../../server/rotation/published/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

const WEEK = '2026-11-23'
const DAY = `/log/days/${VALLEY_TODAY}`

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

const carried = async () => (await carriedTurns(valley.db, [(await findPublishedWeek(valley.db, WEEK))!])).flat()
const counts = async () => addBurdens({ history: {}, turns: await carried() })
const lines = async () =>
  (await shownDay(valley.db, answers.rotation, (await currentGroup(valley.db))!, VALLEY_TODAY)).lines

describe('hard hours', () => {
  it('are those of the agreed turns where nothing was changed and everybody came', async () => {
    let compared = 0
    for (const week of await publishedWeeks(valley.db, { reaching: '2026-08-03' })) {
      const ids = (await agreedTurns(valley.db, [week.id]).execute()).map(({ id }) => id)
      const agreed = week.results.turns.map((turn, at) => ({ ...turn, bookId: ids[at]! }))
      const outcomes = await outcomesOf(
        valley.db,
        agreed.map((turn) => turn.bookId),
      )
      if (agreed.some((turn) => saidOf(outcomes, turn.bookId).missed)) continue
      const now = (await carriedTurns(valley.db, [week])).flat()
      expect(addBurdens({ history: {}, turns: now })).toEqual(addBurdens({ history: {}, turns: week.results.turns }))
      compared += now.length
    }
    expect(compared).toBeGreaterThan(20)
  })

  it('follow a turn that a stopped pump moves, and fall to nobody where nothing came', async () => {
    const chair = await valley.signIn('amaru')
    const dawn = (await lines()).find(({ turn, state }) => state === 'open' && turn.burdens.includes('dawn'))!.turn
    const before = (await counts())[dawn.plotId]!.dawn!
    const clock = { since: '06:00', until: '09:00' }
    await chair.fill(DAY, { pumpId: dawn.pumpId, kind: 'down', ...clock }, { action: `${DAY}/less` })
    const moved = (await lines()).find(({ turn }) => turn.plotId === dawn.plotId && !turn.droppedBy)!.turn
    expect(moved.startMinute).toBeGreaterThanOrEqual(9 * 60)
    expect((await counts())[dawn.plotId]?.dawn ?? 0).toBe(before - 1)
    const own = (await carried()).filter((turn) => turn.plotId === dawn.plotId && turn.on === VALLEY_TODAY)
    expect(own.map((turn) => turn.startMinute)).toEqual([moved.startMinute])
    await chair.fill(DAY, { pumpId: dawn.pumpId, kind: 'down', since: '06:00' }, { action: `${DAY}/less` })
    expect((await carried()).filter((turn) => turn.on === VALLEY_TODAY && turn.pumpId === dawn.pumpId)).toEqual([])
  })
})
