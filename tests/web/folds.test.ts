import { beforeAll, describe, expect, it } from 'vitest'
import { setRoles } from '../../server/people/person/store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'

/** Folds that have an address, on the page of whoever sees them. */
const FOLDS = [
  ['amaru', '/turns/rule', 'people'],
  ['amaru', '/turns/rule', 'classes'],
  ['hila', '/crops/weather', 'gauges'],
  ['fanta', '/money/held', 'papers'],
  ['amaru', '/money/held', 'pump'],
  ['goro', '/money/agree', 'closed'],
  ['dovi', `/log/days/${VALLEY_TODAY}`, 'less'],
  ['hila', '/people/own', 'new-password'],
  ['hila', '/works/pumps/first', 'panels'],
] as const

let valley: Awaited<ReturnType<typeof openValley>>
beforeAll(async () => {
  valley = await openValley()
})

describe('a fold with an address', () => {
  it.each(FOLDS)('stands open for %s on %s where %s is asked for, and only then', async (who, at, name) => {
    const visitor = await valley.signIn(who)
    const path = await pathOf(at)
    const fold = async (asked: string) => (await visitor.open(`${path}${asked}`)).html.querySelector(`details#${name}`)
    expect((await fold(''))!.hasAttribute('open')).toBe(false)
    expect((await fold(`?open=${name}`))!.hasAttribute('open')).toBe(true)
    expect((await fold('?open=other'))!.hasAttribute('open')).toBe(false)
  })

  it('shows no more than its reader may see', async () => {
    const held = await (await valley.signIn('amaru')).open('/money/held?open=papers')
    expect(held.status).toBe(200)
    expect(held.html.querySelector('#pump')).not.toBeNull()
    expect(held.html.querySelector('#papers')).toBeNull()
    expect((await (await valley.signIn('hila')).open('/money/held?open=pump')).status).toBe(403)
  })

  it('of further doors stands open for whoever holds an office, also beside a plot', async () => {
    const more = async (who: string, path = '/water') =>
      (await (await valley.signIn(who)).open(path)).html
        .querySelectorAll('main details')
        .find((one) => one.querySelector('summary')?.text.trim().startsWith('More'))!
    const isOpen = async (who: string) => (await more(who)).hasAttribute('open')
    expect([await isOpen('hila'), await isOpen('amaru')]).toEqual([false, true])
    const { db } = valley
    const person = db.selectFrom('person').select('entryId').where('signInName', '=', 'hila')
    const { entryId } = await person.executeTakeFirstOrThrow()
    const writtenAt = `${VALLEY_TODAY}T05:00:00.000Z`
    await db
      .transaction()
      .execute((trx) => setRoles({ trx, writtenBy: entryId, writtenAt }, entryId, ['member', 'auditor'], VALLEY_TODAY))
    expect(await isOpen('hila')).toBe(true)
    // Closed, it names what it holds, up to four doors; open, they say so themselves.
    const named = async (path: string) => {
      const fold = await more('isko', path)
      const doors = fold.querySelectorAll('ul a').map(({ text }) => text.trim())
      return { summary: fold.querySelector('summary small')!.text.trim(), doors }
    }
    const few = await named('/water')
    expect([few.doors.length <= 4, few.summary]).toEqual([true, few.doors.join(' · ')])
    const many = await named('/log')
    expect([many.doors.length > 4, many.summary]).toEqual([true, `${many.doors.slice(0, 4).join(' · ')} · …`])
    expect((await more('amaru')).querySelector('summary')!.text.trim()).toBe('More')
  })

  it('leads from Today to the own turn of its day, open, with the button that calls it off', async () => {
    const hila = await valley.signIn('hila')
    const card = (await hila.open('/')).html
      .querySelectorAll('.turn-card a')
      .find(({ text }) => /cannot come/.test(text))!
    const [address, mark] = card.getAttribute('href')!.split('#')
    const turn = (await hila.open(address!)).html.querySelector(`details[id="${mark}"]`)!
    expect(turn.hasAttribute('open')).toBe(true)
    expect(turn.querySelector('button[value=excused]')).not.toBeNull()
  })
})

async function pathOf(at: string): Promise<string> {
  const { db } = valley
  if (at === '/people/own') {
    const own = db.selectFrom('person').select('entryId').where('signInName', '=', 'hila')
    return `/people/${(await own.executeTakeFirstOrThrow()).entryId}`
  }
  if (!at.endsWith('/first')) return at
  const pumps = db.selectFrom('pump').select('entryId').orderBy('number')
  return `/works/pumps/${(await pumps.executeTakeFirstOrThrow()).entryId}`
}
