import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { reckonElsewhere } from '../../server/reckoner/elsewhere.ts'
import { type AskedOf, HEAVY, type HeavyName } from '../../server/reckoner/heavy.ts'
import { reckonBy, reckoned } from '../../server/reckoner/reckoner.ts'
import { addRequest } from '../../server/rotation/request/store.ts'
import { Rascal } from '../faults/nasty.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

const DRAFT = '/turns/weeks/2026-11-30'
const HEAVY_PAGES = [DRAFT, `${DRAFT}/comparison`, '/water/outlook']

let valley: Awaited<ReturnType<typeof openValley>>
let visitor: Rascal
/** What was asked, and what lets the answers out. */
let asked: { name: HeavyName; asked: unknown }[]
let letOut: () => void

beforeEach(async () => {
  valley = await openValley()
  visitor = new Rascal(valley.app)
  await visitor.signIn('amaru')
  asked = []
  const open = new Promise<void>((resolve) => {
    letOut = resolve
  })
  reckonBy(async (name, one) => {
    asked.push({ name, asked: one })
    await open
    return (HEAVY[name] as (asked: unknown) => unknown)(one)
  })
})

afterEach(() => {
  reckonBy(null)
  vi.useRealTimers()
})

/** Another draft than any that was looked at before, so that nothing of it is kept: some plot asks for a few litres more. */
async function anotherDraft(): Promise<void> {
  const { entryId } = await valley.db
    .selectFrom('plot')
    .select('entryId')
    .where('number', '=', 3)
    .executeTakeFirstOrThrow()
  const person = await valley.db
    .selectFrom('person')
    .select('entryId')
    .where('number', '=', 1)
    .executeTakeFirstOrThrow()
  const writtenAt = `${VALLEY_TODAY}T09:00:00.000Z`
  drafts += 1
  const request = { plotId: entryId, weekStartOn: '2026-11-30', volumeM3: 3 + drafts / 1000, forPersonId: null }
  await valley.db.transaction().execute((trx) => addRequest({ trx, writtenBy: person.entryId, writtenAt }, request))
}
let drafts = 0

describe('what takes long to reckon', () => {
  it('holds nobody but whoever asked, and is there when it is done', async () => {
    await anotherDraft()
    const held = visitor.open(DRAFT)
    await vi.waitFor(() => expect(asked.length).toBeGreaterThan(0), { timeout: 60_000 })
    expect((await visitor.open('/water')).status).toBe(200)
    expect((await visitor.open('/log')).status).toBe(200)
    letOut()
    expect((await held).status).toBe(200)
  })

  it('past five seconds gives a page that says so, and is there for whoever looks again', async () => {
    await anotherDraft()
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
    const held = visitor.open(`${DRAFT}?again=1`)
    await vi.waitFor(() => expect(asked.length).toBeGreaterThan(0), { timeout: 60_000 })
    await vi.advanceTimersByTimeAsync(5001)
    const { status, html } = await held
    expect(status).toBe(503)
    const again = html.querySelectorAll('main a').find((link) => link.text === 'Look again')
    expect(again?.getAttribute('href')).toBe(`${DRAFT}?again=1`)
    letOut()
    expect((await visitor.open(DRAFT)).status).toBe(200)
    expect(asked.filter(({ name }) => name === 'plan of a week')).toHaveLength(1)
  })

  it('comes out the same on a thread of its own, to the last letter', async () => {
    await anotherDraft()
    letOut()
    for (const path of HEAVY_PAGES) expect((await visitor.open(path)).status).toBe(200)
    const links = (await visitor.open('/water')).html.querySelectorAll('a[href^="/water/weirs/"]')
    for (const link of links.slice(0, 2)) await visitor.open(`${link.getAttribute('href')!.split('#')[0]}/calibration`)
    const stop = reckonElsewhere()
    expect(asked.length).toBeGreaterThan(0)
    for (const { name, asked: one } of asked) {
      const here = (HEAVY[name] as (asked: unknown) => unknown)(one)
      // Of another kind for the kept answers, so that the thread is truly asked.
      const there = await reckoned(name, { ...(one as object), anew: true } as unknown as AskedOf<typeof name>)
      expect(there).toEqual(here)
    }
    await stop()
  })
})
