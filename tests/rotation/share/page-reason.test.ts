import { beforeAll, expect, it } from 'vitest'
import { addDays, datesFromTo } from '../../../domain/calendar.ts'
import { planWeek } from '../../../domain/rotation/draft/plan.ts'
import type { PlannedWeek } from '../../../domain/rotation/week/planned-week.ts'
import { publishWeek } from '../../../server/rotation/published/store.ts'
import { abstractionsBook } from '../../abstractions/book.ts'
import { OWN_GROUP } from '../../support/book.ts'
import type { Visitor } from '../../support/visitor.ts'
import { ruleWeek } from '../rule/week.ts'

let book: Awaited<ReturnType<typeof abstractionsBook>>
let ada: Visitor
beforeAll(async () => {
  book = await abstractionsBook()
  ada = book.visitor()
  await ada.fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
})

interface Said {
  receivedM3: number
  counted: { forfeitedM3: number; lapsedM3: number }
  unplaced: PlannedWeek['unplaced']
}

/** What the page tells of plot 7 in a week that was published so, and in which another plot has all that it has as well. */
async function reasonIn(weekStartOn: string, { receivedM3, counted, unplaced }: Said): Promise<string> {
  const plain = ruleWeek({
    plots: { [book.plotId]: { needM3: 6 }, other: { needM3: 6 } },
    weirs: { [book.weirId]: 12 },
  })
  const inputs = {
    ...plain,
    weekStartOn,
    days: datesFromTo(weekStartOn, addDays(weekStartOn, 6)),
    countedM3: { [book.plotId]: counted, other: { forfeitedM3: 7, lapsedM3: 7 } },
  }
  const planned = planWeek(plain)
  const shares = planned.shares.map((share) => ({ ...share, receivedM3 }))
  await book.writing((pen) => publishWeek(pen, inputs, { ...planned, shares, unplaced, turns: [] }))
  return (await ada.open(`/turns/working/why/${weekStartOn}/${book.plotId}`)).words
}

const none = { receivedM3: 9, counted: { forfeitedM3: 2, lapsedM3: 0 }, unplaced: [] }

it.each([
  ['2026-06-15', { forfeitedM3: 2, lapsedM3: 0 }, '7', '2 m³ of turns missed without word are counted'],
  [
    '2026-06-22',
    { forfeitedM3: 0, lapsedM3: 3 },
    '6',
    '3 m³ of turns called off and not made good in time are counted',
  ],
  [
    '2026-06-29',
    { forfeitedM3: 2, lapsedM3: 3 },
    '4',
    '2 m³ of turns missed without word and 3 m³ of turns called off and not made good in time are counted',
  ],
])(
  'tells what came of the 9 m3 that are counted, and what of them did not: week of %s',
  async (on, counted, came, told) => {
    const words = await reasonIn(on, { ...none, counted })
    expect(words).toContain(`${came} m³ had come to it this season`)
    expect(words).toContain(`Beside that, ${told} as if they had come`)
  },
)

it('tells of what found no hour for this plot, and not of another’s', async () => {
  const line = { outletId: book.outletId, reason: 'pump-full' as const }
  const words = await reasonIn('2026-07-06', {
    ...none,
    unplaced: [
      { ...line, claimId: 'other', volumeM3: 8.5 },
      { ...line, claimId: book.plotId, volumeM3: 1.5 },
    ],
  })
  expect(words).toContain('1.5 m³')
  expect(words).not.toContain('8.5 m³')
})
