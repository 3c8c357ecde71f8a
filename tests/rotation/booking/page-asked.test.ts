import { beforeAll, describe, expect, it } from 'vitest'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'
import { excuse } from '../outcome/excuse.ts'

const WEEK = '2026-11-23'
const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

const turnsToCome = async () => (await standingWeek(valley.db, WEEK))!.standing.filter(({ on }) => on > VALLEY_TODAY)

describe('who asks by voice, through a child, by a message or by a ticket', () => {
  it('stands beside the request; whoever asks alone writes nothing of it', async () => {
    const form = await chair.open('/turns/ask')
    const plotId = optionValue(form, 'plotId', 'Hila')
    const asked = { plotId, weekStartOn: NEXT, volume: '2', askedHow: 'child', bearer: 'Neni, her grandchild' }
    expect((await chair.send(form, asked)).words).toContain('Asked through a child: Neni, her grandchild.')
    const own = await chair.fill('/turns/ask', { plotId, weekStartOn: NEXT, volume: '3' })
    expect(own.words).not.toContain('Neni')
  })

  it('stays with what is asked every week when that is ended', async () => {
    const form = await chair.open('/turns/ask')
    const plotId = optionValue(form, 'plotId', 'Besi')
    const listed = await chair.send(form, {
      plotId,
      weekStartOn: NEXT,
      everyWeek: 'yes',
      askedHow: 'ticket',
      bearer: '14',
    })
    expect(listed.words).toContain('Asked by a ticket: 14.')
    const end = listed.html.querySelector('form[action$="/end"]')!.getAttribute('action')!
    await chair.send(listed, {}, end)
    const kept = await valley.db.selectFrom('askedThrough').select('how').where('bearer', '=', '14').execute()
    expect(kept).toEqual([{ how: 'ticket' }, { how: 'ticket' }])
  })

  it('stands beside a stand-in, an excuse and a swap with its consents', async () => {
    const [first, second, third] = await turnsToCome()
    const named = await chair.open(`/turns/${first!.bookId}/otherwise?as=stand-in`)
    const comes = await chair.send(named, { personId: optionValue(named, 'personId', 'Hila'), askedHow: 'message' })
    expect(comes.words).toContain('Asked by a message.')
    const told = await excuse(chair, second!.bookId, { askedHow: 'child' })
    expect(told.words).toContain('Asked through a child.')
    const swap = await chair.open(`/turns/${third!.bookId}/otherwise?as=swap`)
    const { plots } = (await standingWeek(valley.db, WEEK))!.inputs
    const other = plots.find(({ id, outletIds }) => id !== third!.plotId && outletIds.includes(third!.outletId))!.id
    const proposed = await chair.send(swap, { toPlotId: other, payer: 'taker', askedHow: 'present', bearer: 'the son' })
    expect(proposed.words).toContain('Asked in person, said the son.')
    const agreed = await chair.send(proposed, { given: 'child' })
    expect(agreed.words).toContain('They sent a child with the word.')
  })
})
