import { globSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { projectFolder } from '../../../server/project-folder.ts'
import { figuresInPlaces, fits, toldTwice } from './places.ts'

const views = globSync('views/**/*.eta').sort()
const read = (view: string) => readFileSync(join(projectFolder(), view), 'utf8')

/** A row may tell these twice: beside a picture and in it, in the name of a box and in its label, or in two sentences of one line. */
const TWICE: Record<string, string> = {
  'views/abstractions/balance/page.eta': 'weir.number',
  'views/crops/planting/page.eta': 'f.whole(c.firstDeclaredM2)',
  'views/crops/root-zone/working.eta': 'f.whole(it.zone.availableMmPerM.likely)',
  'views/crops/weather/gauge.eta': 'f.date(day.onDate)',
  'views/fees/statement/list.eta': 'one.number',
  'views/rotation/booking.eta': 'f.clock(slot.startMinute)',
  'views/rotation/day/line.eta': 'turn.on',
  'views/rotation/slip/strip.eta': 'f.clock(turn.endMinute)',
  'views/water/drought/page.eta': 'stage.severity',
  'views/water/outlook/page.eta': 'one.weir.number',
  'views/water/stream/page.eta': 'f.date(permit.reachedOn)',
}

/** Measures of a drawing and ids are told as often as they are drawn or led to, a currency on the screen and on each sheet of paper. */
const DRAWN = /picture|chart|drawn|phones/
const NAMELESS = /\.(id|bookId|key|at|look|comma|inCurrency)$/

describe('a figure', () => {
  it('is called as the words beside it are', () => {
    const placed = views.flatMap((view) => figuresInPlaces(read(view)).map((one) => ({ view, ...one })))
    expect(placed.length).toBeGreaterThan(900)
    expect(placed.filter((one) => !fits(one))).toEqual([])
  })

  it('is told once in its row: a copied line that was not changed tells it again', () => {
    const twice = views
      .filter((view) => !DRAWN.test(view))
      .flatMap((view) => toldTwice(read(view)).map((figure) => ({ view, figure })))
      .filter(({ figure }) => !NAMELESS.test(figure))
    expect(Object.fromEntries(twice.map(({ view, figure }) => [view, figure]))).toEqual(TWICE)
    expect(twice).toHaveLength(Object.keys(TWICE).length)
  })
})
