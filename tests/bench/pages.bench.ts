import { existsSync, readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { bookOfSize } from './books/book-of-size.ts'
import type { Size } from './books/seasons.ts'
import { shown } from './measure.ts'
import { type Measured, measuredPages } from './pages/measured.ts'
import { phonesBeside } from './pages/phones.ts'

const BOOKS: (Size & { name: string })[] = [
  { name: 'one season', seasons: 1, households: 28 },
  { name: 'ten seasons', seasons: 10, households: 28 },
  { name: '300 households', seasons: 1, households: 300 },
]
/** Opened every day, by somebody. */
const DAILY =
  `/ /turns/weeks/:start /turns/weeks/:start/sheet /turns/:id /turns/plots/:id /log/days/:on /water /water/went
  /money /money/members/:personId`.split(/\s+/)
const WANTED = { daily: 0.5, other: 0.25 }
const MOST_TIMES_ONE_SEASON = 1.3
const MOST_BYTES = 14_000
const SHOWN = 12

/**
 * Every kind of page as somebody with every office sees it, beside an equally long static page through the same plugins, with
 * nothing written meanwhile; in a book of one season, of ten, and of 300 households. What falls short is named.
 */
export async function run(): Promise<string[]> {
  const lines: string[] = []
  let ofOne = new Map<string, Measured>()
  for (const { name, ...size } of BOOKS) {
    const file = await fileOf(size)
    const { pages, draftMs, megabytes } = await measuredPages(readFileSync(file))
    if (size.seasons === 1 && size.households < 100) ofOne = new Map(pages.map((page) => [page.path, page]))
    lines.push(
      `${name}: ${pages.length} pages; first look at a draft after a write ${draftMs.map(shown).join(', ')} ms`,
    )
    lines.push(`  resident memory after all of them: ${megabytes} MB`)
    const unknown = DAILY.filter((daily) => pages.every(({ path }) => path !== daily))
    if (unknown.length > 0) throw new Error(`no page of ${name} has the address ${unknown.join(' ')}`)
    lines.push(...short(pages))
    lines.push(...heavy(pages))
    if (name === 'ten seasons') lines.push(...slower(pages, ofOne))
    lines.push(...(await phonesBeside(file)).map((line) => `  ${line}`))
  }
  return lines
}

/** The book that `npm run bench:book` made, or a new one. */
async function fileOf({ seasons, households }: Size): Promise<string> {
  const file = join(tmpdir(), `commonweir-${seasons}-seasons-${households}-households.sqlite`)
  if (!existsSync(file)) await bookOfSize(file, { seasons, households }, () => {})
  return file
}

const ratioOf = ({ staticMs, ms }: Measured) => staticMs / ms

function short(pages: readonly Measured[]): string[] {
  const isDaily = ({ path }: Measured) => DAILY.includes(path)
  return [true, false].flatMap((daily) => {
    const wanted = daily ? WANTED.daily : WANTED.other
    const own = pages.filter((page) => isDaily(page) === daily).toSorted((a, b) => ratioOf(a) - ratioOf(b))
    const below = own.filter((page) => ratioOf(page) < wanted)
    const named = below.slice(0, SHOWN).map((page) => `${page.path} ${ratioOf(page).toFixed(2)} (${shown(page.ms)} ms)`)
    const middle = own[Math.floor(own.length / 2)]
    return `  ${daily ? 'daily pages' : 'other pages'}: middle ratio ${middle ? ratioOf(middle).toFixed(2) : '-'}; ${below.length} of ${own.length} below ${wanted}: ${named.join(', ') || 'none'}`
  })
}

function heavy(pages: readonly Measured[]): string[] {
  const above = pages.filter(({ bytes }) => bytes > MOST_BYTES).toSorted((a, b) => b.bytes - a.bytes)
  const named = above.slice(0, SHOWN).map(({ path, bytes }) => `${path} ${(bytes / 1000).toFixed(1)} kB`)
  return [`  above 14 kB on its way: ${named.join(', ') || 'none'}`]
}

function slower(pages: readonly Measured[], ofOne: ReadonlyMap<string, Measured>): string[] {
  const times = pages.flatMap(({ path, ms }) => {
    const one = ofOne.get(path)
    return one ? [{ path, times: ms / one.ms }] : []
  })
  const above = times
    .filter((page) => page.times > MOST_TIMES_ONE_SEASON)
    .toSorted((a, b) => b.times - a.times)
    .map((page) => `${page.path} ${shown(page.times)}`)
  return [
    `  more than ${MOST_TIMES_ONE_SEASON} times one season: ${above.length}: ${above.slice(0, SHOWN).join(', ') || 'none'}`,
  ]
}
