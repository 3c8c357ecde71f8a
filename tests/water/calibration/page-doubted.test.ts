import { expect, it } from 'vitest'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

/** The days go by the water of today, which a doubted reading makes less sure, as on the page of the water. */
const DAYS = /Days until only.*?(?=The committee’s answer)/s
const SAYS = /Passed over, because nothing explains them and no second reading has borne them out: readings of [^.]*\./

it('a reading that nothing explains moves neither the fitted table nor the loss, and both pages say so', async () => {
  const valley = await openValley()
  const [amaru, dovi] = [await valley.signIn('amaru'), await valley.signIn('dovi')]
  const weirs = await valley.db.selectFrom('weir').select(['entryId', 'number']).execute()
  const pages = weirs.flatMap(({ entryId }) => [`/water/weirs/${entryId}/check`, `/water/working/loss/${entryId}`])
  const told = async () =>
    Promise.all(pages.map(async (path) => (await amaru.open(path)).words.replace(DAYS, '').replace(/\s+/g, ' ')))
  const before = await told()
  for (const { number } of weirs) {
    const form = await dovi.open('/water/levels/new')
    const weirId = optionValue(form, 'weirId', String(number))
    await dovi.send(form, { weirId, readOn: VALLEY_TODAY, readAt: '05:40', depth: '900' })
  }
  const after = await told()
  for (const [at, words] of after.entries()) {
    expect(words, pages[at]).toMatch(SAYS)
    expect(words.replace(SAYS, '').replace(/\s+/g, ''), pages[at]).toBe(before[at]!.replace(/\s+/g, ''))
  }
})
