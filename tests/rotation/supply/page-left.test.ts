import { describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'
import type { Seen } from '../../support/visitor.ts'

const WEEK = '2026-11-23'

/** The figures of a working page's lines, and its result, in m3. */
function figures(page: Seen) {
  const volumes = [...page.words.matchAll(/([\d,]+(?:\.\d+)?) m³/g)].map((match) =>
    Number(match[1]!.replaceAll(',', '')),
  )
  return { result: volumes[0]!, lines: volumes.slice(1) }
}

describe('what is left of a week’s water', () => {
  it('opens to its working, and the lines make the figure', async () => {
    const valley = await openValley()
    const hila = await valley.signIn('hila')
    const week = await hila.open(`/turns/weeks/${WEEK}`)
    const left = week.html.querySelectorAll('a[href^="/turns/working/left/"]').map((link) => link.getAttribute('href')!)
    expect(left.length).toBeGreaterThan(1)
    for (const path of left) {
      const page = await hila.open(path)
      expect(page.status).toBe(200)
      const { result, lines } = figures(page)
      const [released, ...taken] = lines
      expect(Math.abs(released! - taken.reduce((sum, each) => sum + each, 0) - result)).toBeLessThan(0.2)
    }
  })

  it('opens for the hours to book, for the weir and for an own plot', async () => {
    const valley = await openValley()
    const hila = await valley.signIn('hila')
    const slots = await hila.open('/turns/asked?as=free')
    const paths = slots.html
      .querySelectorAll('a[href^="/turns/working/free/"], a[href^="/turns/working/part/"]')
      .map((one) => one.getAttribute('href')!)
    expect(paths.some((path) => path.startsWith('/turns/working/part/'))).toBe(true)
    for (const path of paths) {
      const { result, lines } = figures(await hila.open(path))
      const [first, ...taken] = lines
      const restM3 = Math.max(0, first! - taken.reduce((sum, each) => sum + each, 0))
      expect(Math.abs(restM3 - result)).toBeLessThan(0.11)
    }
    expect((await hila.open(`/turns/working/free/${WEEK}/nowhere`)).status).toBe(404)
    expect((await hila.open('/turns/working/free/2027-01-04/nowhere')).status).toBe(404)
  })
})
