import { describe, expect, it } from 'vitest'
import { bookWithWeir, readLevel, workingValue } from '../support.ts'

/** Sand 2 m deep at the wall, its surface sunk to 9.8 m in the middle, in two lines and a tail. */
const PROBES = {
  section1Distance: '0',
  section1Lines: '0; 10; 10\n2; 9.8; 8.5\n4; 9.8; 8\n6; 10; 10',
  section2Distance: '30',
  section2Lines: '0; 10; 10\n3; 9.9; 9\n6; 10; 10',
  tail: '60',
  layer1Sand: 'medium-sand',
  fromOn: '2026-06-01',
}
const UNKNOWN = { crestLevel: '', offTakeLevel: '?', markLevel: '' }
const DEPTHS_CM = ['0', '40', '90', '130']

async function described(levels: Record<keyof typeof UNKNOWN, string>) {
  const book = await bookWithWeir()
  const page = await book.ada.fill(`${book.weirPath}/sand?as=rod`, { ...PROBES, ...levels })
  return { ...book, page }
}

/** What can be drawn at least, m3, after a reading. */
async function atLeastM3(book: Awaited<ReturnType<typeof described>>, depth: string): Promise<number> {
  await readLevel(book.ada, 'Fig', { depth })
  const working = await book.ada.open(book.weirPath.replace('weirs', 'working/store'))
  const least = Number(workingValue(working, 'Above the off-take').split(' ')[0]!.replaceAll(',', ''))
  expect(least).not.toBeNaN()
  return least
}

describe('probed sand of which some levels are not known', () => {
  it('is taken, says which, and is written again with the same lines open', async () => {
    const { ada, page, weirPath } = await described(UNKNOWN)
    expect(page.status).toBe(200)
    const { words } = await ada.open(weirPath)
    expect(words).toContain('taken as the lowest sand in the line nearest to the wall')
    expect(words).toContain('Mouth of the foot pipe: “at least” reckons with it half-way up the sand')
    expect(words).toContain('Mark of the well: “at least” reckons with it 50 cm below')
    const again = await ada.open(`${weirPath}/sand?as=rod`)
    const typed = Object.keys(UNKNOWN).map((name) => again.html.querySelector(`#${name}`)!.getAttribute('value'))
    expect(typed).toEqual(['', '', ''])
  })

  it('never gives more water at least than the same sand does with its levels measured', async () => {
    const guessed = await described(UNKNOWN)
    const least: number[] = []
    for (const depth of DEPTHS_CM) least.push(await atLeastM3(guessed, depth))
    const measured = [
      { crestLevel: '10', offTakeLevel: '8', markLevel: '10' },
      { crestLevel: '10.4', offTakeLevel: '8.2', markLevel: '10.2' },
      { crestLevel: '9.9', offTakeLevel: '8.8', markLevel: '9.6' },
    ]
    for (const levels of measured) {
      const known = await described(levels)
      for (const [at, depth] of DEPTHS_CM.entries()) {
        expect(least[at]).toBeLessThanOrEqual(await atLeastM3(known, depth))
      }
    }
    expect(least[0]).toBeGreaterThan(0)
  })
})
