import type { HTMLElement } from 'node-html-parser'
import { beforeAll, describe, expect, it } from 'vitest'
import { verifyBook } from '../../server/book/verify.ts'
import { routesOf } from '../support/addresses.ts'
import { openValley } from '../support/valley.ts'
import { type Fields, optionValue, type Seen, type Visitor } from '../support/visitor.ts'

const CORRECTION = /^(.+)\/:id\/correct$/
const LINE = /^(.+)\/(\w+)\/correct$/
const WHY = 'read again by two'
const HISTORY = 'The entry it takes the place of'

const pump = (page: Seen) => ({ pumpId: optionValue(page, 'pumpId', '3') })

/** Lines of which the example has none yet. */
const WRITTEN: Record<string, { at: string; fields: (page: Seen) => Fields }> = {
  '/people/lines/decision': {
    at: '/people/decisions/new',
    fields: () => ({ number: '12/31', words: 'the fence is mended first', present: '117' }),
  },
  '/log/lines/new-meter': {
    at: '/log/meter',
    fields: (page) => ({ ...pump(page), oldLast: '4500', newFirst: '12', digits: '5', atTime: '08:00' }),
  },
  '/log/lines/night-meter': {
    at: '/log/tests/night?as=meter',
    fields: (page) => ({ ...pump(page), startLevel: '100', endLevel: '101.5', hours: '9:00' }),
  },
  '/log/lines/night': {
    at: '/log/tests/night',
    fields: (page) => ({
      tankId: optionValue(page, 'tankId', '1'),
      startLevel: '150',
      endLevel: '140',
      hours: '10:00',
    }),
  },
  '/log/lines/closing': {
    at: '/log/close?as=new',
    fields: (page) => ({ ...pump(page), span: 'week', meter: '4612.5' }),
  },
}

let valley: Awaited<ReturnType<typeof openValley>>
let amaru: Visitor

beforeAll(async () => {
  valley = await openValley()
  amaru = await valley.signIn('amaru')
}, 600_000)

describe('every line that can be corrected', () => {
  it('is read with its new wording alone: the old one stands nowhere but in its history', async () => {
    const places = routesOf(valley.app.printRoutes({ commonPrefix: false })).flatMap(({ method, path }) =>
      method === 'GET' && CORRECTION.test(path) ? [CORRECTION.exec(path)![1]!] : [],
    )
    expect(places.length).toBeGreaterThan(12)
    for (const place of places) {
      const form = await correctable(place)
      const kinds = Object.values(fieldsOf(form)).filter((fields) => fields.length > 0)
      const corrections = []
      for (const fields of kinds) corrections.push(await correctedTwice(form, fields))
      expect(corrections.filter((field) => field !== undefined).length, place).toBeGreaterThan(0)
    }
    expect((await verifyBook(valley.db)).brokenAt).toBeNull()
  }, 600_000)
})

/** One line of each kind of entry is tried until a page answers; where there is none, one is written. */
async function correctable(place: string): Promise<Seen> {
  const first = WRITTEN[place]
  if (first) {
    const page = await amaru.open(first.at)
    const answer = await amaru.send(page, first.fields(page))
    if (answer.status !== 200) throw new Error(`${place}: ${answer.words}`)
  }
  const kinds = await valley.db
    .selectFrom('entry')
    .select(['id', ({ fn }) => fn.max('seq').as('seq')])
    .where('correctsId', 'is', null)
    .groupBy('kind')
    .execute()
  for (const { id } of kinds) {
    const page = await amaru.open(`${place}/${id}/correct`)
    if (page.status === 200) return page
  }
  throw new Error(`The example has nothing to correct at ${place}.`)
}

/** The fields of numbers and of words that hold something, the longest first. */
function fieldsOf(form: Seen): { numbers: string[]; words: string[] } {
  const inputs = form.html.querySelectorAll('main form input').filter((one) => one.getAttribute('value'))
  const length = (one: HTMLElement) => one.getAttribute('value')!.length
  const named = (some: HTMLElement[]) =>
    some.toSorted((a, b) => length(b) - length(a)).map((one) => one.getAttribute('name')!)
  return {
    numbers: named(inputs.filter(isFigure)),
    words: named(inputs.filter((one) => one.getAttribute('type') === 'text' && !isFigure(one))),
  }
}

/** An area may be typed as two sides, so its line asks for no keyboard of digits alone. */
function isFigure(input: HTMLElement): boolean {
  return input.hasAttribute('inputmode') || /^\d+(\.\d+)?$/.test(input.getAttribute('value')!)
}

/** Writes a field anew, and anew again, and looks for the wording between on every page that showed it; gives the field. */
async function correctedTwice(form: Seen, fields: string[]): Promise<string | undefined> {
  for (const field of fields) {
    for (const [between, ...later] of wordings(form, field)) {
      const first = await corrected(await stillStanding(form), field, between)
      if (!first) continue
      const showed = [first.path, ...(await linked(first))]
      const showing = []
      for (const path of showed) if (isMarked(between) && holds(await amaru.open(path), between)) showing.push(path)
      let second: Seen | undefined
      let now = ''
      for (now of later) {
        second = await corrected(await stillStanding(form), field, now)
        if (second) break
      }
      if (!second) throw new Error(`${first.path}: ${field} is not corrected to any of ${later}`)
      expect(
        told(now).some((one) => holds(second, one)),
        `${second.path} says ${now}`,
      ).toBe(true)
      expect(holds(second, between), `${second.path} no longer says ${between}`).toBe(false)
      for (const path of showing.filter((one) => one !== first.path)) {
        const page = await amaru.open(path)
        expect(holds(page, between) ? `${path} still says ${between} of ${field}` : path).toBe(path)
      }
      const old = await amaru.open(first.path)
      // Where the old wording has no page of its own, the new one's tells of it with the reason.
      if (old.status === 404) expect((await amaru.open(second.path)).words).toContain(WHY)
      else if (first.path !== second.path)
        expect(withoutCommas(old.words)).toMatch(new RegExp(`no longer counts.*${between.replace('.', '\\.')}`))
      return field
    }
  }
  return undefined
}

/** A figure as it was typed, or the next whole one: some pages need no more. */
function told(said: string): string[] {
  return Number.isNaN(Number(said)) ? [said] : [said, String(Math.round(Number(said)))]
}

/** Whether a figure is not met by chance on a page that tells of other things too. */
function isMarked(said: string): boolean {
  return said.replace(/\D/g, '').length > 2 || /[a-z]/.test(said)
}

/** The correction of the line that stands now in the place of the one that was found. */
async function stillStanding(form: Seen): Promise<Seen> {
  const [, place, found] = LINE.exec(form.path)!
  let id = found!
  for (;;) {
    const later = await valley.db.selectFrom('entry').select('id').where('correctsId', '=', id).executeTakeFirst()
    if (!later) return amaru.open(`${place}/${id}/correct`)
    id = later.id
  }
}

/** What is written between, and what may be written at last. */
function wordings(form: Seen, field: string): [string, ...string[]][] {
  const input = form.html.querySelector(`main form [name="${field}"]`)!
  if (!isFigure(input)) return [['Zerrin wrote so', 'Quillon wrote so']]
  const was = Number(input.getAttribute('value'))
  const told = (value: number) => String(Math.round(value * 10) / 10)
  return [1.7, -1.7, 7, -7, 1, -1].map((step) => [told(was + step), told(was + step * 2), told(was - step), told(was)])
}

async function corrected(page: Seen, field: string, value: string): Promise<Seen | undefined> {
  const answer = await amaru.send(page, { [field]: value, reason: WHY })
  return answer.status === 200 && !answer.path.endsWith('/correct') ? answer : undefined
}

/** Pages that a line leads to, without its own history and its forms. */
async function linked(line: Seen): Promise<string[]> {
  const hrefs = line.html.querySelectorAll('main a[href^="/"]').map((one) => one.getAttribute('href')!)
  return [...new Set(hrefs)].filter((href) => !/\/new$/.test(href)).filter((href) => !isHistory(line, href))
}

function isHistory(line: Seen, href: string): boolean {
  return historyOf(line).some((one) => one.querySelector(`a[href="${href}"]`) !== null)
}

function historyOf({ html }: Seen): HTMLElement[] {
  const after = html
    .querySelectorAll('h2')
    .filter((one) => one.text === HISTORY)
    .map((one) => one.nextElementSibling)
  return [...html.querySelectorAll('main s'), ...after.filter((one) => one !== null)]
}

/** Figures of thousands have their commas on a page. */
function withoutCommas(words: string): string {
  return words.replace(/(?<=\d),(?=\d{3})/g, '')
}

/** Whether a page says so outside its history. */
function holds(page: Seen, said: string): boolean {
  for (const one of historyOf(page)) one.remove()
  const words = withoutCommas(page.html.querySelector('main')!.textContent)
  return new RegExp(`(?<![\\d.,])${said.replace('.', '\\.')}(?!\\d|[.,]\\d)`).test(words)
}
