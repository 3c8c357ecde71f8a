import { beforeEach, describe, expect, it } from 'vitest'
import { addAbstraction } from '../../../server/abstractions/draw/store.ts'
import { typePage } from '../../abstractions/book.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { putName } from '../support.ts'

const WEEK = '2026-11-23'
const NEXT = '2026-11-30'
/** The day after today, of a week that is published; and the same weekday of the next week. */
const THURSDAY = '2026-11-26'
const NEXT_THURSDAY = '2026-12-03'
const RULE = 'The herds below drink on Thursdays.'
const REFUSED = 'is a rest day of weir'

let valley: Awaited<ReturnType<typeof openValley>>
let amaru: Visitor
beforeEach(async () => {
  valley = await openValley()
  amaru = await valley.signIn('amaru')
})

const weir = async () => {
  const pump = await valley.db.selectFrom('pumpDetail').select(['pumpId', 'weirId']).executeTakeFirstOrThrow()
  const { number } = await valley.db
    .selectFrom('weir')
    .select('number')
    .where('entryId', '=', pump.weirId)
    .executeTakeFirstOrThrow()
  return { ...pump, number }
}
/** What the chair writes holds once somebody else's name is under it. */
const settle = async (fields: Record<string, string | string[]>) => {
  await amaru.fill('/water/stream/share', { restDays: ['4'], words: RULE, fromOn: VALLEY_TODAY, ...fields })
  await putName(await valley.signIn('besi'), '/water/stream')
  return amaru.open('/water/stream')
}
const turnsOf = async (on: string, pumpId: string) =>
  valley.db.selectFrom('turn').select('id').where('onDate', '=', on).where('pumpId', '=', pumpId).execute()

describe('a rest day of one weir', () => {
  it('keeps the turns of that weir off, in the rule’s own words, and those of the others on', async () => {
    const { weirId, pumpId, number } = await weir()
    const page = await settle({ restWeirs: [weirId] })
    expect(page.words).toContain(`Nothing is to be drawn for crops on Thursday, from weir ${number}.`)
    const draft = await amaru.open(`/turns/weeks/${NEXT}`)
    expect(draft.words).toContain(RULE)
    await amaru.send(await amaru.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
    expect(await turnsOf(NEXT_THURSDAY, pumpId)).toEqual([])
    const others = await valley.db.selectFrom('turn').select('pumpId').where('onDate', '=', NEXT_THURSDAY).execute()
    expect(others.length).toBeGreaterThan(0)
  })

  it('refuses a wish on it that is typed in from paper, in the words of the form', async () => {
    const { weirId, pumpId } = await weir()
    await settle({ restWeirs: [weirId] })
    const { plotId } = await valley.db
      .selectFrom('turn')
      .selectAll()
      .where('pumpId', '=', pumpId)
      .where('plotId', 'is not', null)
      .executeTakeFirstOrThrow()
    const plot = await valley.db
      .selectFrom('plot')
      .select('number')
      .where('entryId', '=', plotId!)
      .executeTakeFirstOrThrow()
    const before = await valley.db.selectFrom('waterRequest').select('entryId').execute()
    const dovi = await valley.signIn('dovi')
    const row = { askedOn: VALLEY_TODAY, plotId: String(plot.number), weekStartOn: NEXT, wishedDay: 'Thursday' }
    const asked = await typePage(dovi, 'requests', '9', [row])
    const form = await amaru.fill('/turns/ask', { plotId: plotId!, weekStartOn: NEXT, wishedDay: '4' })
    const said = form.html
      .querySelector('#wishedDay-error')!
      .text.replace(/^.*?Error: /, '')
      .trim()
    expect(said).toContain(REFUSED)
    expect(asked.words).toContain(said)
    expect(await valley.db.selectFrom('waterRequest').select('entryId').execute()).toEqual(before)
  })

  it('refuses a booking, an added turn, a moved turn and a wish on it, and says why', async () => {
    const { weirId, pumpId } = await weir()
    const outlets = await valley.db.selectFrom('outlet').select('entryId').where('pumpId', '=', pumpId).execute()
    const turn = await valley.db
      .selectFrom('turn')
      .selectAll()
      .where('onDate', '=', THURSDAY)
      .where(
        'outletId',
        'in',
        outlets.map(({ entryId }) => entryId),
      )
      .executeTakeFirstOrThrow()
    await settle({ restWeirs: [weirId] })
    const place = { plotId: turn.plotId!, outletId: turn.outletId }
    const booked = await amaru.fill('/turns/ask?as=free', {
      ...place,
      onDate: THURSDAY,
      start: '16:30',
      volume: '0.5',
    })
    const addition = { ...place, onDate: THURSDAY, start: '16:30', volume: '0.5', reason: 'dry' }
    const added = await amaru.fill(`/turns/weeks/${WEEK}/change?as=add`, addition)
    const later = await valley.db
      .selectFrom('turn')
      .selectAll()
      .where('onDate', '=', '2026-11-28')
      .where('pumpId', '=', pumpId)
      .executeTakeFirstOrThrow()
    const toThursday = ({ plotId, outletId, onDate }: typeof turn) =>
      amaru.fill(`/turns/weeks/${WEEK}/change?turn=${encodeURIComponent(`${plotId}/${outletId}/${onDate}`)}`, {
        ...{ kind: 'move', onDate: THURSDAY, start: '16:30', reason: 'dry' },
      })
    const moved = await toThursday(later)
    // What stands on the day already may be moved within it.
    expect((await toThursday(turn)).words).not.toContain(REFUSED)
    const wished = { plotId: turn.plotId!, weekStartOn: NEXT, wishedDay: '4' }
    const asked = await amaru.fill('/turns/ask', wished)
    for (const [page, field] of [
      [booked, 'onDate'],
      [added, 'onDate'],
      [moved, 'onDate'],
      [asked, 'wishedDay'],
    ] as const) {
      expect(page.status).toBe(422)
      const words = page.html.querySelector(`#${field}-error`)!.text
      expect(words).toContain(REFUSED)
      expect(words).toContain(RULE)
    }
  })

  it('is set aside by two others, not by its writer nor by one person twice, and then no rule forbids it', async () => {
    const { weirId, number } = await weir()
    await settle({ restWeirs: [weirId] })
    const form = await amaru.open('/water/settle/rest-set-aside')
    const fields = {
      onDate: THURSDAY,
      weirId: optionValue(form, 'weirId', String(number)),
      reason: 'A wedding is fed.',
    }
    const over = await amaru.send(form, { ...fields, onDate: '2026-11-19' })
    expect([over.status, over.words]).toEqual([422, expect.stringContaining('This day is over.')])
    const page = await amaru.send(over, { onDate: THURSDAY })
    expect(page.words).toContain('A wedding is fed. It still holds.')
    const { entryId } = await valley.db.selectFrom('restSetAside').select('entryId').executeTakeFirstOrThrow()
    const action = `/book/names/${entryId}`
    expect(page.html.querySelector(`form[action="${action}"]`)).toBeNull()
    const [besi, chandu] = [await valley.signIn('besi'), await valley.signIn('chandu')]
    const seen = await besi.open('/water/stream')
    await besi.send(seen, {}, action)
    const once = await besi.open('/water/stream')
    expect(once.words).toContain('Under it, of the two other names that are needed: Besi Okuru.')
    expect(once.words).toContain('It still holds.')
    expect(once.html.querySelector(`form[action="${action}"]`)).toBeNull()
    await chandu.send(await chandu.open('/water/stream'), {}, action)
    const held = await chandu.open('/water/stream')
    expect(held.words).toContain('is set aside for weir')
    const again = await amaru.fill('/turns/ask', { weekStartOn: NEXT, wishedDay: '4' })
    expect(again.html.querySelector('#wishedDay-error')).not.toBeNull() // The Thursday after still rests.
    const [turn] = await valley.db.selectFrom('turn').selectAll().where('onDate', '=', THURSDAY).execute()
    const wish = { plotId: turn!.plotId!, outletId: turn!.outletId, onDate: THURSDAY, start: '16:30', volume: '0.5' }
    expect((await amaru.fill('/turns/ask?as=free', wish)).words).not.toContain(REFUSED)
  })
})

describe('the neighbour below', () => {
  it('reads that the rest of today is set aside, and by whom it is asked', async () => {
    const { weirId, number } = await weir()
    await settle({ restWeirs: [weirId], restDays: ['3'], fromOn: '2026-11-01' })
    const form = await amaru.open('/water/settle/rest-set-aside')
    const where = { onDate: VALLEY_TODAY, weirId: optionValue(form, 'weirId', String(number)) }
    const asked = await amaru.send(form, { ...where, reason: 'A wedding is fed.' })
    expect(asked.words).toContain('A wedding is fed. It still holds.')
    const { entryId } = await valley.db.selectFrom('restSetAside').select('entryId').executeTakeFirstOrThrow()
    for (const name of ['besi', 'chandu']) {
      const officer = await valley.signIn(name)
      await officer.send(await officer.open('/water/stream'), {}, `/book/names/${entryId}`)
    }
    const page = await (await valley.signIn('isko')).open('/water/stream')
    expect(page.html.querySelector('.note strong')!.text).toContain(
      'Set aside with two other names; the log shows 0 m³',
    )
    // The Wednesday before was none that somebody set aside.
    expect(page.words).toMatch(/Wednesday 18 November:(?! Set aside)/)
  })

  it('reads of each rest day whether the log shows it kept or broken, and what is settled for later', async () => {
    const { weirId, pumpId } = await weir()
    await settle({ restWeirs: [weirId], restDays: ['3'], fromOn: '2026-11-01' }) // Today is a Wednesday.
    await settle({ restWeirs: [], restDays: ['7'], fromOn: NEXT, words: 'The herds below drink on Sundays.' })
    const before = await (await valley.signIn('isko')).open('/water/stream')
    const today = before.html.querySelector('.note strong')!.text
    expect(today).toContain('Today is a rest day of weir')
    expect(before.words).toContain(
      'Settled, and coming on 30 Nov 2026: nothing is to be drawn for crops on Sunday, from every weir.',
    )
    const { entryId: writtenBy } = await valley.db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
    const draw = {
      onDate: VALLEY_TODAY,
      use: 'irrigation',
      weirId,
      pumpId,
      method: 'volume',
      volumeM3: 90,
      uncertaintyM3: 1,
      grade: 'measured',
    } as const
    const open = { outletId: null, plotId: null, turnId: null, takerId: null, openingM3: null, closingM3: null }
    const unknown = { hours: null, flowM3PerH: null, startTime: null, endTime: null, remark: null }
    await valley.db
      .transaction()
      .execute((trx) =>
        addAbstraction({ trx, writtenBy, writtenAt: `${VALLEY_TODAY}T09:00:00Z` }, { ...draw, ...open, ...unknown }),
      )
    const isko = await valley.signIn('isko')
    const page = await isko.open('/water/stream')
    expect(page.html.querySelector('.note strong')!.text).toMatch(/Not kept: the log shows [\d,]+ m³ drawn for crops/)
    expect((await isko.open('/water')).words).toMatch(/Not kept: the log shows [\d,]+ m³/)
    expect(page.words).not.toContain('Nothing is drawn')
  })
})
