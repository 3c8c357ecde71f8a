import { expect, it } from 'vitest'
import { tellEntry } from '../../server/abstractions/merged/words.ts'
import type { CLASH_RULES } from '../../server/book/rules/clash-rules.ts'
import { openValley } from '../support/valley.ts'

/** Things and lines of which two devices may have written two, and that have a page of their own. */
const WITH_PAGE = `person pump outlet plot weir pumpDayReading tankReading levelReading voucher`.split(' ')

type Told = Parameters<typeof tellEntry>

it('of two entries that clash, each has a door that opens, or none', async () => {
  const { db, signIn } = await openValley()
  const everything = await signIn('amaru')
  const treasurer = await signIn('fanta')
  const desk = {
    db,
    locale: {},
    t: (key: string) => key,
    may: () => false,
    format: new Proxy({}, { get: () => () => '' }),
  } as unknown as Told[0]
  for (const table of WITH_PAGE as (keyof typeof CLASH_RULES)[]) {
    const { entryId } = (await db
      .selectFrom(table as 'plot')
      .select('entryId')
      .orderBy('entryId')
      .executeTakeFirstOrThrow())!
    const entry = { id: entryId, happenedAt: '2026-11-25T06:00:00.000Z', writtenAt: '2026-11-25T06:00:00.000Z' }
    const told = await tellEntry(desk, { entry, facts: [[table, {}]], writerName: 'Dovi' } as unknown as Told[1])
    expect(told.href, table).not.toBeNull()
    const { status } = await (table === 'voucher' ? treasurer : everything).open(told.href!)
    expect(status, told.href!).toBe(200)
  }
})
