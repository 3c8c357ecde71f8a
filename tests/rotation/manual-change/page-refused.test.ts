import { beforeAll, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { addManualChange } from '../../../server/rotation/manual-change/store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { sentTooLate, sentUnasked, TOO_LATE } from '../../laws/told.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'
const WEEK = `/turns/weeks/${NEXT}`

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
let besi: Visitor
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
  besi = await valley.signIn('besi')
})

/** The turns of officers, by the id under which they are changed. */
async function officersTurns(): Promise<string[]> {
  const group = (await currentGroup(valley.db))!
  const week = (await shownWeek(valley.db, answers.rotation, { group, weekStartOn: NEXT, today: VALLEY_TODAY }))!
  const officers = week.inputs.turnFacts!.officerPlotIds
  return week.results.turns.filter(({ plotId }) => officers.includes(plotId)).map(({ id }) => id)
}

const drop = async (turnId: string, reason: string) =>
  chair.fill(`${WEEK}/change?turn=${encodeURIComponent(turnId)}`, { kind: 'drop', reason })

/** The doors to name changes that stand open to somebody. */
const doors = async (who: Visitor) =>
  (await who.open(WEEK)).html
    .querySelectorAll('form[action^="/turns/names/by-hand/"]')
    .map((form) => form.getAttribute('action')!)

it('is named by another person than its writer, and once', async () => {
  const [turnId] = await officersTurns()
  await drop(turnId!, 'no need after the rain')
  const [door] = await doors(besi)
  expect(await doors(chair)).toEqual([])
  const own = await sentUnasked(valley, chair, { keysOf: '/turns/settle/urgent', to: door! })
  expect(own).toMatchObject(TOO_LATE)
  expect(own.words).toContain('The second name must be another person’s than the one who wrote the change.')
  const twice = await sentTooLate(valley, besi, {
    at: WEEK,
    action: door!,
    meanwhile: async () => besi.send(await besi.open(WEEK), {}, door),
  })
  expect(twice).toMatchObject(TOO_LATE)
  expect(twice.words).toContain('This change already has its second name.')
})

it('is told with its reason where the week has no such turn any more, also in the last look', async () => {
  const group = (await currentGroup(valley.db))!
  const week = (await shownWeek(valley.db, answers.rotation, { group, weekStartOn: NEXT, today: VALLEY_TODAY }))!
  const { plotId, outletId } = week.results.turns[0]!
  const days = ['2026-12-05', '2026-12-06', '2026-12-04', '2026-12-03']
  const wasOn = days.find((day) => !week.results.turns.some((turn) => turn.plotId === plotId && turn.on === day))!
  const { entryId: writtenBy } = await valley.db
    .selectFrom('person')
    .select('entryId')
    .where('signInName', '=', 'amaru')
    .executeTakeFirstOrThrow()
  const gone = { kind: 'drop', plotId, outletId, wasOn, on: null, startMinute: null, volumeM3: null } as const
  await valley.db.transaction().execute((trx) =>
    addManualChange({ trx, writtenBy, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` }, NEXT, {
      ...gone,
      reason: 'gone',
    }),
  )
  for (const path of [WEEK, `${WEEK}/publish`])
    expect((await chair.open(path)).words, path).toContain('Not laid in: There is no such turn in this week any more.')
})

it('is not taken back once its week is published', async () => {
  const back = (await chair.open(WEEK)).html.querySelector('a[href^="/turns/settle/take-back/"]')!.getAttribute('href')!
  const late = await sentTooLate(valley, chair, {
    at: back,
    fields: { reason: 'they came back' },
    meanwhile: async () => chair.send(await chair.open(`${WEEK}/publish`), {}, `${WEEK}/publish`),
  })
  expect(late).toMatchObject(TOO_LATE)
  expect(late.words).toContain('This week is published; a change is now an amendment of its own.')
})

it('to a published week is named only while it fits into it', async () => {
  const [turnId] = (await officersTurns()).slice(-1)
  const [first, second] = [await drop(turnId!, 'a burial'), await drop(turnId!, 'the same, written twice')]
  expect([first.status, second.status]).toEqual([200, 200])
  const [one, other] = await doors(besi)
  const late = await sentTooLate(valley, besi, {
    at: WEEK,
    action: other!,
    meanwhile: async () => besi.send(await besi.open(WEEK), {}, one),
  })
  expect(late).toMatchObject(TOO_LATE)
  expect(late.words).toContain('The week has changed since, and this change no longer fits into it.')
})

it('is written on the last day of its week, and the day after the week is over', async () => {
  const open = async (today: string) => {
    valley.setNow(`${today}T09:00:00Z`)
    const page = await (await valley.signIn('amaru')).open('/turns/weeks/2026-11-23/change')
    return [page.status, page.words.includes('This week is over.')]
  }
  expect([await open('2026-11-29'), await open('2026-11-30')]).toEqual([
    [200, false],
    [409, true],
  ])
})
