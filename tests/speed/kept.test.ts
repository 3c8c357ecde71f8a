import { beforeAll, describe, expect, it } from 'vitest'
import { newest, openBook } from '../support/book.ts'
import { serialized } from '../support/serialized.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { type Fields, optionValue, type Visitor } from '../support/visitor.ts'

const NEXT_WEEK = '2026-11-30'
const ROOMS: Record<string, string[]> = {
  amaru: `/ /turns/weeks/2026-11-23 /turns/weeks/${NEXT_WEEK} /turns/asked /turns/asked?as=free /turns/fair /turns/rule
    /log/days/${VALLEY_TODAY} /log/check /log/faults /water /water/went /water/lasts /water/stream /water/kept /crops /crops/season
    /crops/planting /crops/weather /works /people /people/decisions /paper/whole /paper/changes`.split(/\s+/),
  fanta:
    `/ /money /money/members /money/agree /money/held /money/charges /money/cash-book /money/receipts /money/report`.split(
      /\s+/,
    ),
}

type Person = 'amaru' | 'fanta' | 'dovi'

/** Who opens what and sends its form with these answers, of a choice by its words; a correction and what waits for a second name among them. */
const ACTS: [who: Person, page: string, answers: Fields][] = [
  ['amaru', '/turns/ask', { plotId: '8 ', volume: '3' }],
  ['dovi', '/log/water?use=drinking', { place: 'Heron', volume: '20', startTime: '07:00', endTime: '08:00' }],
  ['amaru', '/water/levels/new', { weirId: 'Heron', readAt: '06:00', depth: '120', readerId: 'Amaru' }],
  ['dovi', '/log/lines/drawn/:abstraction/correct', { volume: '0.5', reason: 'a can was forgotten' }],
  ['fanta', '/money/pay', { payerId: 'Hila', amount: '500' }],
  ['dovi', '/log/faults/new', { pumpId: 'Heron', what: 'the hose leaks', stopsPump: 'yes' }],
  ['amaru', `/turns/settle/sky/${NEXT_WEEK}`, {}],
  ['amaru', '/people/decisions/new', { number: '9', words: 'the path is mended', votesFor: '12', votesAgainst: '0' }],
  ['amaru', '/people/new', { name: 'Rika Sol', number: '77' }],
  ['amaru', '/people/plots/:plot/change', { soil: 'silty clay' }],
]

describe('what is kept of a book', () => {
  let valley: Awaited<ReturnType<typeof openValley>>
  const as = {} as Record<Person, Visitor>
  beforeAll(async () => {
    valley = await openValley()
    for (const who of ['amaru', 'fanta', 'dovi'] as const) as[who] = await valley.signIn(who)
    const { entryId: weirId } = await valley.db.selectFrom('weir').select('entryId').executeTakeFirstOrThrow()
    const { id: plotId } = await lastOfKind('plot')
    const crop = valley.db.selectFrom('cropPlan').select('entryId').where('plotId', '=', plotId)
    const { entryId: planId } = await crop.orderBy('sownOn', 'desc').executeTakeFirstOrThrow()
    ROOMS.amaru!.push(
      `/turns/weeks/${NEXT_WEEK}/publish`,
      `/water/weirs/${weirId}/check`,
      `/crops/plans/${planId}/soil`,
    )
  })

  const lastOfKind = (kind: string) =>
    valley.db.selectFrom('entry').select('id').where('kind', '=', kind).orderBy('seq', 'desc').executeTakeFirstOrThrow()

  const countEntries = async () => (await valley.db.selectFrom('entry').select('id').execute()).length
  /** At which everything was looked at last: without a look nothing would be kept from before an act. */
  let lookedAt = 0

  it.each(ACTS)('is what somebody reads who opens the book anew, after %s sent %s', async (who, page, answers) => {
    const readers = { amaru: as.amaru, fanta: as.fanta }
    const entries = await countEntries()
    if (lookedAt !== entries) await looksOf(readers)
    await act(who, page, answers)
    expect(await countEntries()).toBeGreaterThan(entries)
    const kept = await looksOf(readers)
    lookedAt = await countEntries()
    const anew = await openBook(valley.now().toISOString(), newest(await serialized(valley.db)))
    const others = Object.entries(readers).map(([name, { cookies }]) => {
      const visitor = anew.visitor()
      visitor.takeCookies(cookies.call(readers[name as keyof typeof readers]))
      return [name, visitor] as const
    })
    expect(await looksOf(Object.fromEntries(others))).toEqual(kept)
    await anew.db.destroy()
  })

  async function act(who: Person, page: string, answers: Fields) {
    const [, kind] = /:([a-z]+)/.exec(page) ?? []
    const seen = await as[who].open(kind ? page.replace(`:${kind}`, (await lastOfKind(kind)).id) : page)
    const form = seen.html
      .querySelectorAll('main form[method=post]')
      .find((one) => Object.keys(answers).every((name) => one.querySelector(`[name="${name}"]`)))!
    const chosen = Object.entries(answers).map(([name, words]) => {
      const choices = form.querySelectorAll(`select[name="${name}"] option, [type=radio][name="${name}"]`)
      return [name, choices.length > 0 ? optionValue(seen, name, String(words)) : words] as const
    })
    const answer = await as[who].send(seen, Object.fromEntries(chosen), form.getAttribute('action')!)
    expect(answer.status, answer.words.slice(0, 300)).toBe(200)
  }
})

/** The pages of each reader without the keys of one showing. */
async function looksOf(readers: Record<string, Visitor>): Promise<Record<string, string>> {
  const looks: Record<string, string> = {}
  for (const [name, reader] of Object.entries(readers)) {
    for (const room of ROOMS[name]!) {
      const { text } = await reader.open(room)
      looks[`${name} ${room}`] = text.replace(/name="_(csrf|form)" value="[^"]*"/g, '')
    }
  }
  return looks
}
