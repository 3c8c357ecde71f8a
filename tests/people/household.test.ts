import { expect, it } from 'vitest'
import type { Pen } from '../../server/book/entries.ts'
import { approve } from '../../server/book/names/approvals.ts'
import { giveSignIn } from '../../server/people/person/grave-store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Visitor } from '../support/visitor.ts'

const tick = async (visitor: Visitor, names: string[], fromOn: string) => {
  const form = await visitor.open('/people/settle/lives-together')
  const value = (name: string) => {
    const label = form.html.querySelectorAll('label').find((one) => one.text.includes(name))!
    return form.html.querySelector(`#${label.getAttribute('for')}`)!.getAttribute('value')!
  }
  return visitor.send(form, { personIds: names.map(value), fromOn })
}

it('a couple is written in by one officer, and parted by two', async () => {
  const valley = await openValley()
  const [amaru, besi] = [await valley.signIn('amaru'), await valley.signIn('besi')]
  const list = await tick(amaru, ['Amaru', 'Hila'], '2026-11-01')
  expect(list.words).toContain('From 1 Nov 2026 on live together: Amaru')
  const own = await (await valley.signIn('hila')).open('/people')
  expect(own.words).toMatch(/of one household with Amaru/)
  const hila = list.html.querySelector('a[href^="/people/settle/lives-together?line="]')!.getAttribute('href')!
  expect((await amaru.open(hila)).html.querySelectorAll('input[name=personIds][checked]')).toHaveLength(2)

  const waits = await tick(amaru, ['Amaru'], '2026-11-20')
  expect(waits.words).toContain('waits for the name of somebody who is not of it')
  const approval = waits.html.querySelectorAll('form').map((form) => form.getAttribute('action'))
  expect(approval.filter((action) => action?.startsWith('/book/names/'))).toEqual([])
  const asked = await besi.open('/people/households')
  const action = asked.html.querySelector('form[action^="/book/names/"]')!.getAttribute('action')!
  expect((await amaru.open('/people')).words).toContain('of one household with Hila')
  const named = await besi.send(asked, {}, action)
  expect(named.words).toContain('on lives apart: Amaru')
  expect((await amaru.open('/people')).words).not.toContain('of one household with Hila')
  const empty = await amaru.fill('/people/settle/lives-together', { personIds: [], fromOn: '2026-11-20' })
  expect(empty.status).toBe(422)
})

it('a committee that one of it wrote together is parted with the name of a member outside, and a whole village with one who is not named', async () => {
  const valley = await openValley()
  const besi = await valley.signIn('besi')
  await tick(besi, ['Amaru', 'Besi', 'Chandu', 'Dovi', 'Elu', 'Fanta', 'Goro'], '2026-11-20')
  const chandu = await valley.signIn('chandu')
  const doorOf = async (name: string) =>
    (await (await valley.signIn(name)).open('/people/households')).html.querySelector('form[action^="/book/names/"]')
  await tick(chandu, ['Chandu'], '2026-11-20')
  for (const name of ['amaru', 'goro', 'chandu']) expect([name, await doorOf(name)]).toEqual([name, null])
  const action = (await doorOf('hila'))!.getAttribute('action')!
  const hila = await valley.signIn('hila')
  const named = await hila.send(await hila.open('/people/households'), {}, action)
  expect(named.words).not.toContain('waits for the name')
  // Now one of the committee is outside, and no member is asked any more.
  await tick(besi, ['Amaru'], '2026-11-21')
  expect(await doorOf('hila')).toBeNull()
  expect(await doorOf('chandu')).not.toBeNull()

  const village = await openValley()
  const all = (await village.db.selectFrom('person').select('entryId').execute()).map(({ entryId }) => entryId)
  const writer = await village.signIn('besi')
  await writer.fill('/people/settle/lives-together', { personIds: all, fromOn: '2026-11-20' })
  await tick(await village.signIn('chandu'), ['Chandu', 'Hila'], '2026-11-20')
  const may = async (name: string) =>
    (await (await village.signIn(name)).open('/people/households')).html.querySelector(
      'form[action^="/book/names/"]',
    ) !== null
  expect([await may('hila'), await may('chandu'), await may('amaru')]).toEqual([false, false, true])
})

it('somebody whose sign-in waits for its name is nobody outside a village yet, so that it can still be parted', async () => {
  const village = await openValley()
  const people = await village.db.selectFrom('person').select(['entryId', 'signInName']).execute()
  const outside = people.find(({ signInName }) => signInName === null)!.entryId
  const together = people.map(({ entryId }) => entryId).filter((id) => id !== outside)
  const [besi, chandu] = [await village.signIn('besi'), await village.signIn('chandu')]
  await besi.fill('/people/settle/lives-together', { personIds: together, fromOn: '2026-11-20' })
  const writing = (work: (pen: Pen) => Promise<string>) =>
    village.db.transaction().execute((trx) => {
      const chanduId = people.find(({ signInName }) => signInName === 'chandu')!.entryId
      return work({ trx, writtenBy: chanduId, writtenAt: `${VALLEY_TODAY}T07:00:00.000Z` })
    })
  const given = { personId: outside, passwordHash: 'a hash' }
  const signInId = await writing((pen) => giveSignIn(pen, given, { minute: null, memberIds: [] }))
  await tick(chandu, ['Chandu', 'Hila'], '2026-11-20')
  const amaru = await village.signIn('amaru')
  const doors = async () => {
    const { html } = await amaru.open('/people/households')
    return html.querySelectorAll('form[action^="/book/names/"]').length
  }
  expect(await doors()).toBe(1)
  // With its name it is somebody outside, whose name it is then.
  await village.db.transaction().execute(async (trx) => {
    const writtenBy = people.find(({ signInName }) => signInName === 'besi')!.entryId
    await approve({ trx, writtenBy, writtenAt: `${VALLEY_TODAY}T08:00:00.000Z` }, signInId)
  })
  expect(await doors()).toBe(0)
})
