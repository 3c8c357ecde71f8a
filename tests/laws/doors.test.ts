import { beforeAll, expect, it } from 'vitest'
import { readerOfValley } from '../support/valley.ts'
import type { Seen } from '../support/visitor.ts'
import { kindOf, walk } from '../support/walk.ts'
import { figuresOf, linesOf, told } from './figures.ts'

/** Doors that tell more in figures than the page behind them, each kind for its reason. */
const TELLS_MORE: Record<string, string> = {
  'when it was due, or how long ago it was done': `
    / => /water/walls/new?weirId=*&part=*; / => /water/working/loss/*; / => /water/weirs/*`,
  'the whole, of which the page behind tells the working or the parts': `
    /turns/weeks/* => /turns/working/given/*/*; /turns/weeks/* => /turns/working/left/*/*; / => /turns/plots/*;
    / => /crops/plots/*; /money/working/charge/* => /money/names/price/*; /water/weirs/* => /water/working/loss/*;
    /turns/plots/* => /turns/weeks/*; /turns/plots/*?from=*&to=* => /turns/weeks/*; /money/members/all => /money/members/*; /crops => /crops/plots/*?week=*; /crops?week=* => /crops/plots/*?week=*`,
  'until when it could be asked for, or until when a span runs': `
    /turns/asked?as=free => /turns/ask?as=free&on=*&start=*&pump=*; / => /money/agree?period=month&on=*`,
  'the same water in jerrycans, or as it was planned': `
    / => /log/turns/*; /log/lines/drawn/* => /turns/*`,
}
const TELL_MORE = new Set(Object.values(TELLS_MORE).flatMap((kinds) => kinds.split(';').map((kind) => kind.trim())))

/** Pages that tell each reader something else: what is due from them, their own lines, whose payments they may know. */
const OWN =
  `/; /money; /crops; /crops?week=*; /turns/asked?as=free; /log/days/*; /money/cash-book; /money/held; /money/held?open=*; /turns/plots/*;
  /money/agree?period=week&on=*; /money/receipts`.split(/;\s+/)

let pages: Map<string, Seen>
let asTreasurer: Map<string, Seen>

beforeAll(async () => {
  pages = byPath(await walk(await readerOfValley('amaru'), { pagesOfAKind: 2 }))
  asTreasurer = byPath(await walk(await readerOfValley('fanta'), { pagesOfAKind: 1 }))
})

function byPath(seen: readonly Seen[]): Map<string, Seen> {
  return new Map(seen.filter(({ status }) => status === 200).map((page) => [page.path, page]))
}

/** Every door to one thing or one day among those pages, with the line it stands in. */
function doorsAmong(all: Map<string, Seen>) {
  return [...all.values()].flatMap((page) =>
    page.html.querySelectorAll('main a[href]').flatMap((door) => {
      const to = door.getAttribute('href')!.replaceAll('&amp;', '&').split('#')[0]!
      const behind = all.get(to)
      if (!behind || to === page.path || !/[A-Za-z0-9]{16}|\d{4}-\d\d-\d\d/.test(to)) return []
      return [{ door, kind: `${kindOf(page.path)} => ${kindOf(to)}`, behind, from: page.path }]
    }),
  )
}

it.each([
  ['the committee', () => pages],
  ['the treasurer', () => asTreasurer],
])('behind each door stands what it told %s: its day, number and amount', (_, all) => {
  const doors = doorsAmong(all()).filter(({ kind }) => !TELL_MORE.has(kind))
  const within = new Map(
    [...all().values()].map((page) => [page, new Set(figuresOf(told(page.html.querySelector('main'))))]),
  )
  const missed = doors.flatMap(({ door, kind, behind, from }) => {
    const missing = figuresOf(told(door)).filter((figure) => !within.get(behind)!.has(figure))
    return missing.length ? [`${kind} (${from} => ${behind.path}) ${missing.join(' ')}`] : []
  })
  expect(doors.filter(({ door }) => figuresOf(told(door)).length).length).toBeGreaterThan(90)
  expect(missed).toEqual([])
})

it('what stands on one page for the committee and the treasurer are the same figures, line by line', () => {
  const both = [...pages.keys()].filter((path) => asTreasurer.has(path) && !OWN.includes(kindOf(path)))
  const lines = both.map((path) => ({ path, one: linesOf(pages.get(path)!), other: linesOf(asTreasurer.get(path)!) }))
  expect(lines.filter(({ one }) => one.length).length).toBeGreaterThan(60)
  expect(lines.filter(({ one, other }) => one.join() !== other.join()).map(({ path }) => path)).toEqual([])
})
