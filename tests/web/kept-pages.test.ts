import { beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import { bookedTurns } from '../../server/rotation/published/turn-store.ts'
import { KEY_OF_FORM, KEY_OF_SESSION, keptOr } from '../../server/web/kept-pages.ts'
import { OWN_GROUP, openBook } from '../support/book.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Seen } from '../support/visitor.ts'

const WEEK = '2026-11-23'
const KEYS = /name="_(csrf|form)" value="([^"]*)"/g
const keysOf = (page: Seen, name: 'csrf' | 'form') =>
  [...page.text.matchAll(KEYS)].filter((key) => key[1] === name).map((key) => key[2]!)
const withoutKeys = (page: Seen) => page.text.replace(KEYS, '')

describe('a page of every day that is opened again', () => {
  let valley: Awaited<ReturnType<typeof openValley>>
  let ways: string[]
  beforeAll(async () => {
    valley = await openValley()
    const [plot] = await valley.db.selectFrom('plot').select('entryId').where('number', '=', 8).execute()
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const turn = turns.find(({ plotId, on }) => plotId === plot!.entryId && on > VALLEY_TODAY)!
    ways = `/ /turns/weeks/${WEEK} /turns/weeks/${WEEK}/sheet /turns/${turn.bookId} /turns/plots/${plot!.entryId}
      /log/days/${VALLEY_TODAY} /log/days/${turn.on} /water /water/went /money`.split(/\s+/)
  })

  it.each(['amaru', 'dovi', 'fanta', 'goro', 'hila', 'isko'])('is the same for %s, with new keys', async (who) => {
    const reader = await valley.signIn(who)
    let forms = 0
    for (const way of ways) {
      const [first, again] = [await reader.open(way), await reader.open(way)]
      expect(withoutKeys(again), way).toBe(withoutKeys(first))
      const own = [...keysOf(first, 'form'), ...keysOf(again, 'form')]
      forms += own.length
      expect(new Set(own).size, way).toBe(own.length)
      expect(new Set(keysOf(again, 'csrf')).size, way).toBeLessThanOrEqual(1)
      expect(again.text, way).not.toMatch(/value="(session|form)-/)
    }
    if (['amaru', 'dovi', 'hila'].includes(who)) expect(forms).toBeGreaterThan(0)
  })

  it('shows at once what somebody else wrote, and what the hour brings', async () => {
    const [hila, dovi] = [await valley.signIn('hila'), await valley.signIn('dovi')]
    const works = () => hila.open(`/log/days/${VALLEY_TODAY}`)
    const before = await works()
    const [pump] = await valley.db.selectFrom('pump').select('entryId').orderBy('number').execute()
    const fault = { pumpId: pump!.entryId, what: 'the switch sparks', stopsPump: 'yes', onDate: VALLEY_TODAY }
    await dovi.fill('/log/faults/new', fault)
    expect(before.words).not.toContain('the switch sparks')
    expect((await works()).words).toContain('the switch sparks')
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const [turn] = turns.filter(({ on, startMinute }) => on === VALLEY_TODAY && startMinute > 11 * 60)
    const at = (minute: number) =>
      valley.setNow(new Date(Date.parse(`${VALLEY_TODAY}T00:00:00Z`) + minute * 60_000).toISOString())
    at(turn!.startMinute - 1)
    const next = await dovi.open('/')
    at(turn!.startMinute)
    const runs = await dovi.open('/')
    valley.setNow(`${VALLEY_TODAY}T10:00:00Z`)
    expect(withoutKeys(runs)).not.toBe(withoutKeys(next))
  })

  it('takes each form of the second showing, once', async () => {
    const hila = await valley.signIn('hila')
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const own = turns.find(({ plot, on }) => on > VALLEY_TODAY && plot?.holders.includes('Hila Quarm'))!
    const day = `/log/days/${own.on}`
    const action = `/turns/${own.bookId}/became`
    await hila.open(day)
    const again = await hila.open(day)
    const entries = async () => (await valley.db.selectFrom('entry').select('id').execute()).length
    const count = await entries()
    const answer = await hila.send(again, { cause: 'excused' }, action)
    expect(answer.words).toMatch(/excused/i)
    expect(await entries()).toBe(count + 1)
    await hila.send(again, { cause: 'excused' }, action)
    expect(await entries()).toBe(count + 1)
  })
})

describe('what is kept', () => {
  type Handed = Parameters<typeof keptOr>[1]
  let book: Awaited<ReturnType<typeof openBook>>
  beforeEach(async () => {
    book = await openBook()
  })

  /** Shows the page at an address, and says whether it was made anew for that. */
  async function made({ url = '/', who = 'ada', at = '2026-06-04T05:00:10Z', status = 200, long = 10, doubt = false }) {
    const clock = { doubt: doubt ? 'behind' : null, readAt: new Date(at) }
    const request = {
      url,
      headers: {},
      person: { id: who },
      visit: { clock },
      routeOptions: { url: url.split('?')[0] },
    }
    const reply = { statusCode: status, type: () => reply, generateCsrf: () => 'its own' }
    const answer = vi.fn(async () => {
      const html = `${KEY_OF_SESSION} ${KEY_OF_FORM} ${'x'.repeat(long)}`
      ;(request as unknown as Handed['request']).keepPage?.(html)
      return html
    })
    const shown = await keptOr(book.db, { request, reply } as unknown as Handed, answer)
    if (answer.mock.calls.length === 0) expect(shown).toMatch(/^its own [\w-]+ x+$/)
    return answer.mock.calls.length === 1
  }

  it('is made once for one reader in one minute, at one address of every day', async () => {
    expect([await made({}), await made({}), await made({ at: '2026-06-04T05:00:59Z' })]).toEqual([true, false, false])
    expect(await made({ at: '2026-06-04T05:01:00Z' })).toBe(true)
    expect(await made({ who: 'bela' })).toBe(true)
    expect([await made({ url: '/?open=x' }), await made({ url: '/?open=x' })]).toEqual([true, false])
    expect(await made({})).toBe(false)
  })

  it('is nothing that is no page of every day, was refused, or hangs on a clock that nobody trusts', async () => {
    for (const other of [{ url: '/practice' }, { status: 404 }, { doubt: true }]) {
      expect([await made(other), await made(other)]).toEqual([true, true])
    }
  })

  it('goes with whatever is written, be it an entry or not', async () => {
    expect([await made({}), await made({})]).toEqual([true, false])
    await book.visitor().fill('/start', OWN_GROUP)
    expect([await made({}), await made({})]).toEqual([true, false])
    await book.visitor().fill('/sign-in', { signInName: OWN_GROUP.signInName, password: OWN_GROUP.password })
    expect(await made({})).toBe(true)
  })

  it('takes no more room than a few megabytes, and lets the oldest go', async () => {
    const long = 800_000
    for (const url of ['/', '/water', '/money']) expect(await made({ url, long })).toBe(true)
    expect([await made({ url: '/water', long }), await made({ url: '/money', long })]).toEqual([false, false])
    expect(await made({ long })).toBe(true)
  })
})
