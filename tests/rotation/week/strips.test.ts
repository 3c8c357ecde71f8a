import type { HTMLElement } from 'node-html-parser'
import { describe, expect, it } from 'vitest'
import { openValley } from '../../support/valley.ts'

const WEEK = '2026-11-23'

/** Of a hundred of the whole width or height. */
const part = (shape: HTMLElement, name: string) => Number(/^([\d.]+)%$/.exec(shape.getAttribute(name)!)![1])

describe('the strips of a week', () => {
  it('show each turn once, on a strip of its own pump', async () => {
    const valley = await openValley()
    const page = await (await valley.signIn('hila')).open(`/turns/weeks/${WEEK}`)
    const turns = await valley.db
      .selectFrom('turn')
      .innerJoin('pump', 'pump.entryId', 'turn.pumpId')
      .select(['turn.id', 'pump.number'])
      .where('onDate', '>=', WEEK)
      .execute()
    const pumpOf = new Map(turns.map(({ id, number }) => [`/turns/${id}`, number]))
    const shown: string[] = []
    for (const strip of page.html.querySelectorAll('.pump-strip')) {
      const label = /Pump (\d+)/.exec(strip.querySelector('span')!.text)
      for (const block of strip.querySelectorAll('a[href^="/turns/"]')) {
        const href = block.getAttribute('href')!
        shown.push(href)
        if (label) expect(pumpOf.get(href), href).toBe(Number(label[1]))
      }
    }
    expect(shown.length).toBeGreaterThan(20)
    expect(new Set(shown).size).toBe(shown.length)
  })

  it('puts each turn between the hours that are written above it, and fills as much of it as its pump gives', async () => {
    const valley = await openValley()
    const { html } = await (await valley.signIn('hila')).open(`/turns/weeks/${WEEK}`)
    const labels = html
      .querySelectorAll('.strip-hours text')
      .map((label) => ({ hour: +label.text, at: part(label, 'x') }))
    const [first, last] = [labels[0]!, labels.at(-1)!]
    const hourAt = (at: number) => first.hour + ((at - first.at) / (last.at - first.at)) * (last.hour - first.hour)
    const hours: number[] = []
    const flows: { m3PerH: number; filled: number }[] = []
    for (const block of html.querySelectorAll('.pump-strip a svg.block')) {
      const label = block.parentNode!.getAttribute('aria-label')!
      const [from, to] = [...label.matchAll(/(\d\d):(\d\d)/g)].map(([, hour, minute]) => +hour! + +minute! / 60)
      hours.push(from!, to!)
      const [left, width] = [part(block, 'x'), part(block, 'width')]
      expect(
        [hourAt(left), hourAt(left + width)].map((hour) => Math.round(hour * 20)),
        label,
      ).toEqual([from!, to!].map((hour) => Math.round(hour * 20)))
      const m3PerH = +/([\d.]+) m³/.exec(label)![1]! / (to! - from!)
      flows.push({ m3PerH, filled: 100 - part(block.querySelector('.water')!, 'y') })
    }
    expect(flows.length).toBeGreaterThan(20)
    expect([first.hour, last.hour]).toEqual([Math.floor(Math.min(...hours)), Math.ceil(Math.max(...hours))])
    const most = Math.max(...flows.map(({ m3PerH }) => m3PerH))
    for (const { m3PerH, filled } of flows) expect(Math.abs(filled - (100 * m3PerH) / most)).toBeLessThan(4)
    // A line falls through each strip at each hour that is written.
    const lines = html.querySelector('.pump-strip')!.querySelectorAll('line.hour')
    expect(lines.map((line) => part(line, 'x1'))).toEqual(labels.map(({ at }) => at))
  })
})
