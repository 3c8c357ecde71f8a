import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { reckonElsewhere, reckoningThread } from '../../server/reckoner/elsewhere.ts'
import { type AskedOf, HEAVY, type HeavyName } from '../../server/reckoner/heavy.ts'
import { reckonBy, reckoned } from '../../server/reckoner/reckoner.ts'
import { Rascal } from '../faults/nasty.ts'
import { openValley } from '../support/valley.ts'

/** Drafts of weeks that nobody else looks at so early, so that none of them is kept. */
const [FIRST, SECOND, THIRD] = ['2026-12-21', '2026-12-28', '2027-01-04'].map((week) => `/turns/weeks/${week}`) as [
  string,
  string,
  string,
]

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

async function isAsked(): Promise<void> {
  while (asked.length === 0) await new Promise((turn) => setImmediate(turn))
}

describe('what takes long to reckon', () => {
  it('holds nobody but whoever asked, and is there when it is done', async () => {
    const held = visitor.open(FIRST)
    await isAsked()
    expect((await visitor.open('/water')).status).toBe(200)
    expect((await visitor.open('/log/days/2026-11-25')).status).toBe(200)
    letOut()
    expect((await held).status).toBe(200)
  })

  it('past five seconds gives a page that says so, and is there for whoever looks again', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
    const held = visitor.open(`${SECOND}?again=1`)
    await isAsked()
    await vi.advanceTimersByTimeAsync(5001)
    const { status, html } = await held
    expect(status).toBe(503)
    const again = html.querySelectorAll('main a').find((link) => link.text === 'Look again')
    expect(again?.getAttribute('href')).toBe(`${SECOND}?again=1`)
    letOut()
    expect((await visitor.open(SECOND)).status).toBe(200)
    expect(asked.filter(({ name }) => name === 'plan of a week')).toHaveLength(1)
  })

  it('comes out the same on a thread of its own, to the last letter', async () => {
    letOut()
    for (const path of [THIRD, `${THIRD}/compare`, '/water/lasts']) expect((await visitor.open(path)).status).toBe(200)
    const links = (await visitor.open('/water')).html.querySelectorAll('a[href^="/water/weirs/"]')
    for (const link of links.slice(0, 2)) await visitor.open(`${link.getAttribute('href')!.split('#')[0]}/calibration`)
    // A slow machine takes its time here: nobody is impatient.
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
    const thread = reckoningThread()
    reckonElsewhere(thread)
    expect(asked.length).toBeGreaterThan(0)
    for (const { name, asked: one } of asked) {
      const here = (HEAVY[name] as (asked: unknown) => unknown)(one)
      // Of another kind for the kept answers, so that the thread is truly asked.
      const there = await reckoned(name, { ...(one as object), anew: true } as unknown as AskedOf<typeof name>)
      expect(there).toEqual(here)
    }
    await thread.end()
  })
})
