import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { bookedTurns } from '../../server/rotation/published/turn-store.ts'
import { VALLEY_TODAY } from '../support/valley.ts'
import { describeInBrowser } from './chromium.ts'
import { CLOCKS, type Clock, TASKS } from './tasks/all.ts'
import { Hand } from './tasks/hand.ts'
import { tap, wordsOf } from './tasks/tapping.ts'
import { valleyInBrowser } from './windows.ts'

const PATIENCE_MS = 600_000
const WEEK = '2026-11-23'
describeInBrowser('a phone in the hand', () => {
  let valley: Awaited<ReturnType<typeof valleyInBrowser>>
  let frames: Page
  beforeAll(async () => {
    valley = await valleyInBrowser()
    frames = await valley.openFrames()
  }, PATIENCE_MS)
  afterAll(() => valley?.close())

  it('brings whoever is asked for a name or a word to the button that gives it in two taps', async () => {
    await setClock('before')
    const { entryId: pumpId } = await valley.db.selectFrom('pump').select('entryId').executeTakeFirstOrThrow()
    const amaru = await valley.signIn('amaru')
    await amaru.fill('/log/close?as=new', { pumpId, toOn: addDays(VALLEY_TODAY, -1) })
    const dovi = await valley.openPhone('dovi')
    await tap(dovi, 'waits for your name')
    await tap(dovi, 'Put the second name')
    expect(await wordsOf(dovi)).toContain('Amaru Tolle, Dovi Marrok')
  })

  // The time of a book does not run backwards, so whoever looks earliest taps first.
  it.each(TASKS.toSorted((a, b) => CLOCKS.indexOf(a.clock) - CLOCKS.indexOf(b.clock)))(
    'brings $who to “$task” in the wanted taps',
    async ({ who, clock, taps, ends, wanted, sends, says }) => {
      expect(taps.length + (sends ? 1 : 0)).toBeLessThanOrEqual(wanted)
      await setClock(clock)
      const hand = new Hand(frames, await valley.signIn(who))
      await hand.open('/')
      for (const words of taps) await hand.tap(words)
      expect(hand.at).toMatch(ends)
      const seen = await hand.seen()
      if (says) expect(seen.words).toMatch(says)
      if (sends) expect(seen.sends).toBeGreaterThan(0)
    },
  )

  async function setClock(clock: Clock) {
    const at = (day: string, minute: number) => valley.setNow(`${day}T${clockOf(minute)}:00Z`)
    const noon = 12 * 60
    if (clock === 'noon') return at(VALLEY_TODAY, noon)
    if (clock === 'friday') return at(addDays(VALLEY_TODAY, 2), noon)
    if (clock === 'next-week') return at(addDays(VALLEY_TODAY, 8), noon)
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const ofToday = turns.filter(({ on, droppedBy }) => on === VALLEY_TODAY && !droppedBy)
    if (clock === 'evening') return at(VALLEY_TODAY, Math.max(...ofToday.map(({ endMinute }) => endMinute)) + 60)
    const { startMinute } = ofToday[0]!
    return at(VALLEY_TODAY, clock === 'running' ? startMinute + 5 : startMinute - 60)
  }
})

function clockOf(minute: number): string {
  const pair = (value: number) => String(value).padStart(2, '0')
  return `${pair(Math.floor(minute / 60))}:${pair(minute % 60)}`
}
