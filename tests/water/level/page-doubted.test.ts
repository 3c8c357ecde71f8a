import { describe, expect, it } from 'vitest'
import { setRoles } from '../../../server/people/person/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'

async function released(visitor: Visitor, weirId: string): Promise<number> {
  const { words } = await visitor.open(`/turns/working/given/${NEXT}/${weirId}`)
  return Number(/([\d,]+) m³/.exec(words)![1]!.replace(',', ''))
}

describe('one bad stick reading', () => {
  it('leaves the release as it was, is asked about on the first page and on the week, and goes with a second reading', async () => {
    const valley = await openValley()
    const chair = await valley.signIn('amaru')
    const dovi = await valley.signIn('dovi')
    const form = await dovi.open('/water/levels/new')
    const weirId = optionValue(form, 'weirId', '1')
    const before = await released(chair, weirId)
    const [last] = await valley.db
      .selectFrom('levelReading')
      .select(['depthCm', 'onDate'])
      .where('weirId', '=', weirId)
      .orderBy('onDate', 'desc')
      .limit(1)
      .execute()
    const noon = { weirId, readOn: '2026-11-25', readAt: '09:30' }
    const bad = await dovi.send(form, { ...noon, depth: String(last!.depthCm + 60), pumpRunning: 'yes' })
    expect(bad.status).toBe(200)
    expect(bad.words).toContain('until a second reading at dawn, written by somebody else, bears this one out')
    expect(await released(chair, weirId)).toBe(before)
    for (const path of ['/', `/turns/weeks/${NEXT}`]) {
      const alarms = (await chair.open(path)).html.querySelector('main .summary')!.text
      expect(alarms).toContain('Weir 1')
      expect(alarms).toContain('Read it again at dawn')
    }
    valley.setNow('2026-11-26T07:00:00Z')
    const again = await valley.signIn('dovi')
    await again.fill('/water/levels/new', {
      weirId,
      readOn: '2026-11-26',
      readAt: '05:30',
      depth: String(last!.depthCm + 2),
    })
    expect((await again.open('/')).words).not.toContain('Read it again at dawn')
  })

  it('is not borne out by its own writer, and is by another; whoever is named as reader learns of it', async () => {
    const valley = await openValley()
    const dovi = await valley.signIn('dovi')
    const form = await dovi.open('/water/levels/new')
    const weirId = optionValue(form, 'weirId', '1')
    const before = await released(dovi, weirId)
    const low = { weirId, readOn: '2026-11-25', depth: '290' }
    await dovi.send(form, { ...low, readAt: '06:10', readerId: optionValue(form, 'readerId', 'Besi') })
    const again = await dovi.send(await dovi.open('/water/levels/new'), { ...low, readAt: '06:20' })
    expect(again.words).toContain('written by somebody else')
    expect(await released(dovi, weirId)).toBe(before)
    const besi = await valley.signIn('besi')
    const first = await besi.open('/')
    expect(first.words).toContain('Dovi Marrok wrote a level of Wednesday 25 November that you are said to have read')
    expect(first.text).toContain('href="/water/lines/level/')
    const borne = await besi.send(await besi.open('/water/levels/new'), { ...low, readAt: '06:30' })
    expect(borne.words).not.toContain('written by somebody else')
    expect(await released(dovi, weirId)).toBeLessThan(before)
    expect((await dovi.open('/')).words).not.toContain('said to have read')
  })

  it('is borne out by its own writer where nobody else could write one', async () => {
    const valley = await openValley()
    const people = await valley.db.selectFrom('person').select(['entryId', 'signInName']).execute()
    const idOf = (name: string) => people.find(({ signInName }) => signInName === name)!.entryId
    const pen = { writtenBy: idOf('amaru'), writtenAt: `${VALLEY_TODAY}T05:00:00.000Z` }
    for (const name of ['amaru', 'besi', 'chandu', 'elu', 'fanta', 'goro'])
      await valley.db.transaction().execute((trx) => setRoles({ trx, ...pen }, idOf(name), ['auditor'], '2026-11-20'))
    const dovi = await valley.signIn('dovi')
    const form = await dovi.open('/water/levels/new')
    const weirId = optionValue(form, 'weirId', '1')
    const before = await released(dovi, weirId)
    for (const readAt of ['06:10', '06:20'])
      await dovi.send(await dovi.open('/water/levels/new'), { weirId, readOn: '2026-11-25', readAt, depth: '290' })
    expect(await released(dovi, weirId)).toBeLessThan(before)
  })

  it('counts as a range from the bad reading to the earlier one', async () => {
    const valley = await openValley()
    const dovi = await valley.signIn('dovi')
    const form = await dovi.open('/water/levels/new')
    const weirId = optionValue(form, 'weirId', '1')
    const rangeOf = async () =>
      /At least ([\d,.]+) m³.*?at most ([\d,.]+) m³/.exec((await dovi.open(`/water/working/store/${weirId}`)).words)!
    const [, lowBefore, highBefore] = await rangeOf()
    await dovi.send(form, { weirId, readOn: '2026-11-25', readAt: '06:30', depth: '290' })
    const [, low, high] = await rangeOf()
    expect(high).toBe(highBefore)
    const m3 = (figure: string | undefined) => Number(figure!.replace(',', ''))
    expect(m3(low)).toBeLessThan(m3(lowBefore) / 2)
  })
})
