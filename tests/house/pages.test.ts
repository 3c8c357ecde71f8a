import { readFileSync } from 'node:fs'
import type { HTMLElement } from 'node-html-parser'
import { beforeAll, describe, expect, it } from 'vitest'
import { routesOf } from '../support/addresses.ts'
import { openValley } from '../support/valley.ts'
import type { Visitor } from '../support/visitor.ts'

const MOST_KINDS = 120
const MOST_OFFERED = 25
/** Where a member can go on from a page without opening a fold: the frame, slips and rows of doors. */
const DOORS = 'header a[href], .slips a[href], a.slip[href], .doors a[href], p.no-print a[href], a.button[href]'
/** Two pages of a kind offer what all of them do. */
const LOOKED_AT = 2

interface Kind {
  name: string
  addresses: string[]
  isOffered: boolean
}

/** The kinds of page of each part of the map: those before, the shapes, and the later ones. */
const [before, shapes, later] = readFileSync('docs/pages.md', 'utf8').split(/^## /m).map(kindsOf)
const kinds = [...before!, ...shapes!, ...later!]

function kindsOf(part: string): Kind[] {
  return [...part.matchAll(/^\| ([^|]+) \| (`[^|]+) \| (•?) ?\|$/gm)].map(([, name, addresses, dot]) => ({
    name: name!,
    addresses: [...addresses!.matchAll(/`([^`]+)`/g)].map(([, address]) => address!),
    isOffered: dot === '•',
  }))
}

/** The kinds in which an address stands; one that is written out goes before one with names in it. */
function standsIn(path: string): Kind[] {
  const fitting = kinds.flatMap((kind) =>
    kind.addresses.filter((one) => patternOf(one).test(path)).map((one) => ({ kind, named: one.split(/[:*]/).length })),
  )
  const least = Math.min(...fitting.map(({ named }) => named))
  return [...new Set(fitting.filter(({ named }) => named === least).map(({ kind }) => kind))]
}

function patternOf(address: string): RegExp {
  return new RegExp(`^${address.replaceAll('/*', '(/[^/]+)+').replaceAll(/:\w+/g, '[^/]+')}$`)
}

let valley: Awaited<ReturnType<typeof openValley>>
let paths: string[]

beforeAll(async () => {
  valley = await openValley()
  const routes = routesOf(valley.app.printRoutes({ commonPrefix: false }))
  const pages = routes.filter(
    ({ method, path }) => method === 'GET' && !/\*|\.csv|\.ics|\.wav|\.json|:table/.test(path),
  )
  paths = [...new Set(pages.map(({ path }) => path.split('?')[0]!))]
})

describe('the map of the pages', () => {
  it('has every page of the program in one row, and no row without a page', () => {
    const rows = paths.map((path) => [path, standsIn(path).map(({ name }) => name)] as const)
    expect(rows.filter(([, names]) => names.length !== 1)).toEqual([])
    const used = new Set(rows.flatMap(([, names]) => names))
    expect(kinds.filter(({ name }) => !used.has(name))).toEqual([])
    const written = before!.concat(later!).flatMap(({ addresses }) => addresses)
    expect(written.filter((address) => !paths.includes(address))).toEqual([])
  })

  it('has at most 120 kinds, and those that came later are told apart', () => {
    expect(before!.length + shapes!.length).toBeLessThanOrEqual(MOST_KINDS)
    expect(new Set(kinds.map(({ name }) => name)).size).toBe(kinds.length)
    expect(kinds.filter(({ isOffered }) => isOffered).length).toBeLessThanOrEqual(MOST_OFFERED)
  })

  it('offers a member nothing by its open doors but what is marked so', async () => {
    const reached = await reachedByDoors(await valley.signIn('hila'))
    const unmarked = [...reached].filter(([name]) => !kinds.find((kind) => kind.name === name)?.isOffered)
    expect(unmarked).toEqual([])
    expect(reached.size).toBeGreaterThan(15)
  })
})

/** The kinds of page that open doors lead to, each with where its first door stands. */
async function reachedByDoors(visitor: Visitor): Promise<Map<string, string>> {
  const reached = new Map<string, string>()
  const looked = new Map<string, number>()
  const seen = new Set(['/'])
  const waiting = [{ href: '/', from: '/' }]
  for (let door = waiting.shift(); door !== undefined; door = waiting.shift()) {
    const [asked] = standsIn(door.href.split('?')[0]!)
    const times = (looked.get(asked!.name) ?? 0) + 1
    looked.set(asked!.name, times)
    if (times > LOOKED_AT) continue
    const { html, path } = await visitor.open(door.href)
    const [kind] = standsIn(path.split('?')[0]!)
    if (!reached.has(kind!.name)) reached.set(kind!.name, door.from)
    // The Book lists everything, and what is proof leads back to what it proves.
    if (kind!.name === 'The book' || shapes!.includes(kind!)) continue
    const hrefs = doorsOf(html).filter((href) => !seen.has(href) && standsIn(href.split('?')[0]!).length > 0)
    for (const href of hrefs) {
      seen.add(href)
      waiting.push({ href, from: path })
    }
  }
  return reached
}

function doorsOf(html: HTMLElement): string[] {
  for (const fold of html.querySelectorAll('details:not([open])')) fold.remove()
  return html
    .querySelectorAll(DOORS)
    .map((link) => link.getAttribute('href')!.split('#')[0]!.replaceAll('&amp;', '&'))
    .filter((href) => /^\/(?!assets)/.test(href) && !/\.(csv|ics|wav|json)/.test(href))
}
