import { beforeAll, describe, expect, it } from 'vitest'
import { pacedAreaM2, typedVolumeM3 } from '../../../domain/people/measure.ts'
import { countTyped } from '../../../server/people/measure/volume-state.ts'
import { requestsFor } from '../../../server/rotation/request/store.ts'
import { emptyForm } from '../../../server/web/forms/forms.ts'
import { openValley } from '../../support/valley.ts'
import { answersOf, optionValue, type Visitor } from '../../support/visitor.ts'

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

  it('is taken up to the most that its line takes, and not a litre more, in whatever it is counted', async () => {
    const lines = { field: 'kept', unitField: 'keptIn', on: NEXT, mostM3: 5, usual: 'water in a tank, m3' } as const
    const refused = async (figure: number, unit: string) => {
      const read = await countTyped(valley.db, emptyForm(), { ...lines, figure, unit })
      return 'again' in read ? JSON.stringify(read.again.errors) : read.volumeM3
    }
    expect([await refused(5, 'm3'), await refused(5000, 'litres')]).toEqual([5, 5])
    for (const [figure, unit] of [
      [5.001, 'm3'],
      [5001, 'litres'],
    ] as const)
      expect(await refused(figure, unit)).toContain('measure.volume-beyond')
  })

  it('is asked in a vessel that the group has named, and told as it was typed; each person is told in their own', async () => {
    await chair.fill('/people/settle/measure', { kind: 'drum', name: 'blue drum', size: '200' })
    const page = await ask({ volume: '12', askedIn: 'blue drum' })
    expect(await askedM3()).toBe(2.4)
    expect(page.words).toContain('Typed: 12 × blue drum of 200 litres, that is 2.2 to 2.6 m³.')
    await hila.fill('/people/settle/count-in', { measure: 'blue drum' })
    const form = await hila.open('/people/settle/count-in')
    expect(answersOf(form, 'measure').find(({ holds }) => holds)?.words).toBe('blue drum of 200 litres')
    await ask({ volume: '3' })
    expect((await hila.open('/turns/asked')).words).toContain('15 × blue drum')
    expect((await chair.open('/turns/asked')).words).not.toContain('15 × blue drum')
  })

  it('is beside m³ on the slip, the message and the card of whoever chose it, and on nobody else’s', async () => {
    const own = (await hila.open('/')).html.querySelector('.turn-card a[href$="as=aloud"]')!.getAttribute('href')!
    const turn = own.split('?')[0]!
    // 10.5 m3 by drums of 200 litres.
    expect((await hila.open('/')).words).toContain('52.5 × blue drum')
    expect((await chair.open(`${turn}/slip`)).words).toContain('52.5 × blue drum')
    // A message has no room for the sign.
    expect((await chair.open(`${turn}?as=message`)).words).toContain('10.5 m3 = 52.5 x blue drum')
    const plotId = optionValue(await hila.open('/turns/ask'), 'plotId', 'Hila')
    expect((await chair.open(`/turns/plots/${plotId}?as=card`)).words).toMatch(/1 tank mark = .* × blue drum/)
  })

  it('is logged by the count of the group’s vessels, and told as it was typed', async () => {
    const dovi = await valley.signIn('dovi')
    const form = await dovi.open('/log/water?use=drinking')
    expect((await dovi.send(form, { volume: '12', unit: '' })).words).toContain('Choose one')
    const page = await dovi.send(form, { volume: '12', unit: 'blue drum', place: optionValue(form, 'place', 'Weir 1') })
    expect(page.words).toContain('2.4 m³ (measured')
    expect(page.words).toContain('Typed: 12 × blue drum of 200 litres, that is 2.2 to 2.6 m³.')
    const unknown = { volume: '12', unit: 'red drum', place: optionValue(form, 'place', 'Weir 1') }
    const again = await dovi.fill('/log/water?use=drinking', unknown)
    expect([again.status, again.words.includes('Choose one from the list')]).toEqual([422, true])
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

describe('land as people count it', () => {
  it('is paces by paces as a guess between a short and a long pace', () => {
    // 40 by 25 paces: 26 m by 16.25 m with a short one, 30 by 18.75, 34 by 21.25 with a long one.
    const { likelyM2, lowM2, highM2 } = pacedAreaM2(1000)
    expect([lowM2, likelyM2, highM2].map((m2) => Math.round(m2 * 10) / 10)).toEqual([422.5, 562.5, 722.5])
  })

  it('is typed in the group’s own measure and told in it beside m²; paces are asked about with their range', async () => {
    await chair.fill('/people/settle/measure', { kind: 'area', name: 'terrace', size: '150' })
    const id = optionValue(await hila.open('/turns/ask'), 'plotId', 'Hila')
    const change = `/people/plots/${id}/change`
    const page = await chair.fill(change, { area: '', ownArea: '3', ownAreaIn: 'terrace' })
    expect(page.words).toContain('450 3 × terrace')
    const paced = await chair.fill(change, { area: '', ownArea: '40 x 25', ownAreaIn: 'paces' })
    expect(paced.status).toBe(422)
    expect(paced.words).toMatch(/about 563 m², 42[23] with a short pace and 72[23] with a long one/)
    const sure = paced.html.querySelector('input[name="_sure"]')!.getAttribute('value')!
    const taken = await chair.send(paced, { _sure: sure })
    expect(taken.words).toContain('563')
    expect(taken.path).toBe(`/people/plots/${id}`)
    for (const wrong of [
      { area: '300', ownArea: '3', ownAreaIn: 'terrace' },
      { area: '', ownArea: '3', ownAreaIn: '' },
    ])
      expect((await chair.fill(change, wrong)).status).toBe(422)
  })
})
