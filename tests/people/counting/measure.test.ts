import { beforeAll, describe, expect, it } from 'vitest'
import { typedVolumeM3 } from '../../../domain/people/measure.ts'
import { requestsFor } from '../../../server/rotation/request/store.ts'
import { openValley } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

const NEXT = '2026-11-30'

let valley: Awaited<ReturnType<typeof openValley>>
let chair: Visitor
let hila: Visitor
beforeAll(async () => {
  valley = await openValley()
  chair = await valley.signIn('amaru')
  hila = await valley.signIn('hila')
})

const ask = async (fields: Record<string, string>) => {
  const page = await hila.open('/turns/ask')
  return hila.send(page, { plotId: optionValue(page, 'plotId', 'Hila'), weekStartOn: NEXT, ...fields })
}
const askedM3 = async () => {
  const named = (await requestsFor(valley.db, NEXT)).filter(({ askedByName }) => askedByName.includes('Hila'))
  return named.at(-1)!.volumeM3
}

describe('a volume as people count it', () => {
  it('is the count times what one holds, with a range of its own', () => {
    // 12 drums of 200 litres are 2400 litres; a tenth either way.
    expect(typedVolumeM3({ figure: 12, litresEach: 200, doubtPart: 0.1 })).toEqual({
      likelyM3: 2.4,
      lowM3: 2.16,
      highM3: 2.64,
    })
  })

  it('is asked in a vessel that the group has named, and told as it was typed; each person is told in their own', async () => {
    await chair.fill('/people/settle/measure', { kind: 'drum', name: 'blue drum', size: '200' })
    const page = await ask({ volume: '12', askedIn: 'blue drum' })
    expect(await askedM3()).toBe(2.4)
    expect(page.words).toContain('Typed: 12 × blue drum of 200 litres, that is 2.2 to 2.6 m³.')
    await hila.fill('/people/settle/count-in', { measure: 'blue drum' })
    const form = await hila.open('/people/settle/count-in')
    expect(form.html.querySelector('option[selected]')!.text).toBe('blue drum of 200 litres')
    await ask({ volume: '3' })
    expect((await hila.open('/turns/asked')).words).toContain('15 × blue drum')
    expect((await chair.open('/turns/asked')).words).not.toContain('15 × blue drum')
  })

  it('tells on every paper the size of the can that the group has set, and counts by it', async () => {
    const before = await chair.open('/turns/weeks/2026-11-23/sheet')
    expect(before.words).toContain('1 can = 20 litres')
    await chair.fill('/people/settle/measure', { kind: 'can', name: 'yellow can', size: '25' })
    expect((await chair.open('/turns/weeks/2026-11-23/sheet')).words).toContain('1 can = 25 litres')
    const page = await ask({ volume: '100', askedIn: 'jerrycans' })
    expect(await askedM3()).toBe(2.5)
    expect(page.words).toContain('About 100 jerrycans')
  })
})
