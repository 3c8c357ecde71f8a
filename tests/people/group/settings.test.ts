import { beforeEach, describe, expect, it } from 'vitest'
import { currentGroup } from '../../../server/people/group/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import type { Visitor } from '../../support/visitor.ts'

const KIRITIMATI = 'Pacific/Kiritimati'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
beforeEach(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
})

const inForce = async () => (await currentGroup(valley.db))!

/** An entry's page of names, out of the address that its form led to. */
async function nameIt(who: Visitor, path: string) {
  const page = await who.open(path)
  return who.send(page, {}, `/book/names/${path.split('/').at(-1)}`)
}

describe('the settings of the group, in a book that is in use', () => {
  it.each<Record<string, string>>([
    { timeZone: KIRITIMATI },
    { latitude: '40' },
    { longitude: '100' },
    { elevation: '3000' },
    { seasonStart: VALLEY_TODAY },
    { seasonEnd: '2026-12-31' },
    { currency: 'EUR' },
  ])('hold only with the name of a second officer: %o', async (change) => {
    const before = await inForce()
    const page = await chair.fill('/works/group', change)
    expect(page.words).toContain('does not hold yet')
    expect(await inForce()).toEqual(before)
    expect(page.text).not.toContain('action="/book/names/')
    // One change waits, and nobody hides it behind another.
    expect((await chair.fill('/works/group', change)).words).toContain('waits for a second name already')
    const fanta = await valley.signIn('fanta')
    expect((await fanta.open('/')).words).toContain('a change of the group’s settings, written by Amaru')
    expect((await nameIt(fanta, page.path)).status).toBe(200)
    expect(await inForce()).not.toEqual(before)
    expect((await fanta.open(page.path)).words).toContain('This holds.')
  })

  it('take another name for the group at once', async () => {
    await chair.fill('/works/group', { name: 'Weirs of the valley' })
    expect((await inForce()).name).toBe('Weirs of the valley')
  })

  it('are read by the auditor with what was there before, also where nobody named them', async () => {
    const was = (await inForce()).timeZone.replaceAll('_', ' ')
    const goro = await valley.signIn('goro')
    expect((await goro.open('/paper/changes')).words).not.toContain('Settings of the group')
    const { path } = await chair.fill('/works/group', { timeZone: KIRITIMATI })
    const by = (await goro.open('/paper/changes')).html
      .querySelectorAll('main a[href^="/paper/changes?by="]')
      .find(({ text }) => text.includes('Amaru'))!
    const told = await goro.open(by.getAttribute('href')!)
    expect(told.words).toContain(`Clock of: ${was} before, ${KIRITIMATI} now`)
    expect(told.text).toContain(`href="${path}"`)
    await nameIt(goro, path)
    expect((await inForce()).timeZone).toBe(KIRITIMATI)
  })
})

describe('a turn that has to have begun', () => {
  it('has by the clock by which it was agreed, whatever zone holds since', async () => {
    const turn = await valley.db
      .selectFrom('turn')
      .select(['id', 'onDate', 'startMinute'])
      .where('onDate', '>', VALLEY_TODAY)
      .orderBy('onDate')
      .orderBy('startMinute')
      .executeTakeFirstOrThrow()
    expect(turn.startMinute).toBeLessThan(9 * 60)
    // Late on the evening before; on Kiritimati it is ten in the morning of its day.
    valley.setNow(`${VALLEY_TODAY}T20:00:00Z`)
    chair = await valley.signIn('amaru')
    const dovi = await valley.signIn('dovi')
    const became = `/turns/${turn.id}/became`
    const day = await dovi.open(`/log/days/${turn.onDate}`)
    const { path } = await chair.fill('/works/group', { timeZone: KIRITIMATI })
    await nameIt(await valley.signIn('fanta'), path)
    const early = await dovi.agent
      .post(became)
      .type('form')
      .send({ ...keysOf(day), cause: 'no-show' })
    expect(early.status).toBe(409)
    const said = await valley.db.selectFrom('turnOutcome').select('cause').where('turnId', '=', turn.id).execute()
    expect(said).toEqual([])
  })
})

function keysOf(page: Awaited<ReturnType<Visitor['open']>>) {
  const inputs = page.html.querySelector('main form[method=post]')!.querySelectorAll('input[type=hidden]')
  return Object.fromEntries(inputs.map((input) => [input.getAttribute('name'), input.getAttribute('value')]))
}
