import { expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'

it('offers to write the harvest of each crop that stands on the page of what its plot needs, to whoever writes crops', async () => {
  const valley = await openValley()
  const amaru = await valley.signIn('amaru')
  const needs = (await amaru.open('/crops')).html
  const plotIn = (stage: string) =>
    needs
      .querySelectorAll('a[href^="/crops/plots/"]')
      .find((one) => one.text.includes(`, ${stage}`))!
      .getAttribute('href')!
  const harvestOf = async (who: typeof amaru, plot: string) =>
    (await who.open(plot)).html.querySelector('.doors a[href^="/crops/plans/"][href$="/end"]')
  const ripe = plotIn('late season')
  const bare = needs
    .querySelectorAll('a[href^="/crops/plots/"]')
    .find((one) => one.text.includes('nothing in the ground'))!
    .getAttribute('href')!
  const door = (await harvestOf(amaru, ripe))!
  expect(door.text).toMatch(/^Write in the harvest of [A-Z].*, or its loss$/)
  expect(await harvestOf(amaru, plotIn('mid-season'))).not.toBeNull()
  expect(await harvestOf(amaru, bare)).toBeNull()
  expect(await harvestOf(await valley.signIn('hila'), ripe)).toBeNull()
  const ended = await amaru.fill(door.getAttribute('href')!, {})
  expect(ended.words).toContain('harvested on 25 Nov 2026')
  expect(await harvestOf(amaru, ripe)).toBeNull()
})

it('still offers it when the crop is over by the book and nobody wrote its end', async () => {
  const valley = await openValley()
  const amaru = await valley.signIn('amaru')
  const late = (await amaru.open('/crops')).html
    .querySelectorAll('a')
    .find((one) => one.text.includes(', late season'))!
  valley.setNow('2027-02-20T10:00:00Z')
  const need = await (await valley.signIn('amaru')).open(late.getAttribute('href')!.split('?')[0]!)
  expect(need.html.querySelector('.doors a[href^="/crops/plans/"][href$="/end"]')).not.toBeNull()
})
