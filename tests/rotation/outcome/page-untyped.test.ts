import { describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { openValley } from '../../support/valley.ts'

const WEEK = '2026-11-23'
const NEXT = '2026-11-30'

/** What the draft takes as received by each plot and as gone from each weir before it begins. */
async function takenIn({ db }: Awaited<ReturnType<typeof openValley>>) {
  const group = (await currentGroup(db))!
  const week = await shownWeek(db, answers.rotation, { group, weekStartOn: NEXT, today: '2026-11-27' })
  const { receivedM3, weirs } = week!.inputs
  const round = (m3: number | undefined) => Math.round((m3 ?? 0) * 1000)
  return {
    receivedLitres: Object.fromEntries(Object.entries(receivedM3).map(([id, m3]) => [id, round(m3)])),
    goneLitres: weirs.map(({ working }) => round(working?.takenM3)),
  }
}

describe('turns that nobody has typed in yet', () => {
  it('count as drawn, so that typing them in as agreed moves no litre of what anybody has received or a weir has given, whoever is typed first', async () => {
    const valley = await openValley()
    valley.setNow('2026-11-27T06:00:00Z')
    const dovi = await valley.signIn('dovi')
    const turns = await valley.db
      .selectFrom('turn')
      .innerJoin('publishedWeek', 'publishedWeek.entryId', 'turn.entryId')
      .select(['turn.id', 'turn.volumeM3', 'turn.onDate'])
      .where('publishedWeek.weekStartOn', '=', WEEK)
      .where('turn.onDate', 'in', ['2026-11-25', '2026-11-26'])
      .where(({ not, exists, selectFrom }) =>
        not(exists(selectFrom('abstraction').select('entryId').whereRef('abstraction.turnId', '=', 'turn.id'))),
      )
      .execute()
    expect(turns.length).toBeGreaterThan(4)
    const before = await takenIn(valley)
    for (const path of ['/water', '/turns/weeks/2026-11-30']) {
      expect((await dovi.open(path)).words).toMatch(/not written in yet|nobody wrote them in/)
    }
    for (const { id, volumeM3, onDate } of turns.slice(0, 3)) {
      const logged = await dovi.fill(`/log/turns/${id}?method=volume`, {
        volume: String(volumeM3),
        unit: 'm3',
        onDate,
      })
      expect(logged.status).toBe(200)
    }
    expect(await takenIn(valley)).toEqual(before)
  })
})
