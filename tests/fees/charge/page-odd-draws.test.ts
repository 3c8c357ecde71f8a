import { describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'

describe('charges to post', () => {
  it('say beside a draw that the log has flagged that it wants another look', async () => {
    const valley = await openValley()
    const attendant = await valley.signIn('dovi')
    const turn = await valley.db
      .selectFrom('turn')
      .selectAll()
      .where('onDate', '=', '2026-11-25')
      .orderBy('startMinute')
      .executeTakeFirstOrThrow()
    const form = await attendant.open(`/log/turns/${turn.id}`)
    await attendant.send(form, { opening: '500', closing: '480', startTime: '07:00', endTime: '08:00' })
    const treasurer = await valley.signIn('fanta')
    expect((await treasurer.open('/money/charges')).words).toContain('look again before it is charged')
  })
})
