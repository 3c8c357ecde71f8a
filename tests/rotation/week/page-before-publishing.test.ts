import { describe, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownWeek } from '../../../server/rotation/week/view.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

const NEXT = '/turns/weeks/2026-11-30'

describe('the draft’s warnings', () => {
  it('stand once, beside the button that publishes, and for a member where the changes are told', async () => {
    const valley = await openValley()
    const amaru = await valley.signIn('amaru')
    const draft = await amaru.open(NEXT)
    const group = (await currentGroup(valley.db))!
    const asked = { group, weekStartOn: '2026-11-30', today: VALLEY_TODAY }
    const { turns } = (await shownWeek(valley.db, answers.rotation, asked))!.results
    // Three minutes later is on no grid; some turns the flow does not carry there.
    for (const turn of turns) {
      const minute = turn.startMinute + 3
      const start = [Math.floor(minute / 60), minute % 60].map((part) => String(part).padStart(2, '0')).join(':')
      const form = `${NEXT}/change?turn=${encodeURIComponent(turn.id)}`
      const moved = await amaru.fill(form, { kind: 'move', start, reason: 'the school ends then' })
      if (moved.path === NEXT) break
    }
    const page = await amaru.open(NEXT)
    const warning = 'is not on a full five minutes'
    expect(draft.words).not.toContain(warning)
    expect(page.words.split(warning)).toHaveLength(2)
    const look = await amaru.open(`${NEXT}/publish`)
    const button = look.text.indexOf(`action="${NEXT}/publish"`)
    expect(look.text.indexOf(warning)).toBeGreaterThan(0)
    expect(button).toBeGreaterThan(look.text.indexOf(warning))
    const member = await (await valley.signIn('hila')).open(NEXT)
    expect(member.words.split(warning)).toHaveLength(2)
  })
})
