import { describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'
import { putName } from '../../water/support.ts'

const NEXT = '2026-11-30'

describe('the share of the stream below', () => {
  it('keeps the rest days of the stream free of turns', async () => {
    const valley = await openValley()
    const chair = await valley.signIn('amaru')
    await chair.fill('/water/stream/share', { restDays: ['2'], fromOn: '2026-11-25' })
    expect((await chair.open(`/turns/weeks/${NEXT}`)).words).not.toContain('rest day of the stream')
    await putName(await valley.signIn('besi'), '/water/stream')
    const draft = await chair.open(`/turns/weeks/${NEXT}`)
    expect(draft.words).toContain('rest day of the stream')
    await chair.send(await chair.open(`/turns/weeks/${NEXT}/publish`), {}, `/turns/weeks/${NEXT}/publish`)
    const turns = await valley.db.selectFrom('turn').select('id').where('onDate', '=', '2026-12-01').execute()
    expect(turns).toEqual([])
  })

  it('gives crops nothing from a weir below its mark, and people their water all the same', async () => {
    const valley = await openValley()
    const chair = await valley.signIn('amaru')
    const form = await chair.open('/water/settle/shut')
    // Old Crossing stands below its crest at 102.1 m, so a mark at the crest shuts it.
    const weirId = optionValue(form, 'weirId', 'Old Crossing')
    await chair.send(form, { weirId, shutBelowLevel: '102.1', words: 'for the herds below', fromOn: '2026-11-25' })
    const page = await chair.open(`/turns/working/given/${NEXT}/${weirId}`)
    expect(page.words).toContain('shut for crops')
    // 61 people at 20 litres and 9 donkeys at 12, for seven days: 9.3 m3.
    expect(page.words).toContain('About 9.3 m³ may be drawn this week')
  })
})
