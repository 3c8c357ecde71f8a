import { expect, it } from 'vitest'
import { openValley } from '../support/valley.ts'
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
