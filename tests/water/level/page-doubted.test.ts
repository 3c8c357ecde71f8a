import { describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
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
