import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import { factTables } from '../../server/book/merge/whole-entry.ts'
import type { Database } from '../../server/database/connection.ts'
import { PAPER_BOOKS } from '../../server/paper/books/books.ts'
import { registers } from '../../server/paper/whole-book/lists-store.ts'
import { PRINTED_PEOPLE } from '../../server/paper/whole-book/printed-people.ts'
import { PRINTED_WORKS } from '../../server/paper/whole-book/printed-works.ts'
import told from '../../views/locales/en/told.json' with { type: 'json' }
import { openValley } from '../support/valley.ts'
import type { Visitor } from '../support/visitor.ts'
import { NOT_PRINTED } from './not-printed.ts'

describe('the book goes out again', () => {
  it('gives every register to the auditor as a list that other programs read back, rows and columns whole', async () => {
    const { signIn, db } = await openValley()
    const auditor = await signIn('goro')
    const page = await auditor.open('/book/files')
    const doors = page.html.querySelectorAll('.marks a').map((door) => door.getAttribute('href')!)
    expect(doors.length).toBeGreaterThan(60)
    for (const door of doors) {
      const answer = await auditor.agent.get(door).buffer(true)
      const rows = parse(answer.text, { bom: true })
      const table = door.slice('/book/files/'.length, -'.csv'.length)
      const kept = await db
        .selectFrom(table as 'abstraction')
        .select('entryId')
        .execute()
      expect([door, rows.length]).toEqual([door, kept.length + 1])
    }
  }, 60_000)

  it('prints with each note to a draw the day, the plot, the outlet and the water of that draw', async () => {
    const { signIn, db } = await openValley()
    const { words } = await (await signIn('goro')).open('/paper/lines/rest')
    const noted =
      /A note to a draw \([^)]+\): about “A line of the log \(([^)]+)\), plot (\d+), outlet (\d+), ([\d.]+) m³”[^“]*?slip (\d+)/g
    const lines = [...words.matchAll(noted)].map((line) => line.slice(1))
    expect(lines.filter(([, plot, outlet]) => plot !== outlet).length).toBeGreaterThan(5)
    for (const [on, plot, outlet, volume, slip] of lines) {
      const draw = await db
        .selectFrom('drawNote')
        .innerJoin('abstraction', 'abstraction.entryId', 'drawNote.entryId')
        .innerJoin('plot', 'plot.entryId', 'abstraction.plotId')
        .innerJoin('outlet', 'outlet.entryId', 'abstraction.outletId')
        .select(['onDate', 'plot.number as plot', 'outlet.number as outlet', 'volumeM3'])
        .where('slipNo', '=', Number(slip))
        .executeTakeFirstOrThrow()
      expect([slip, new Date(`${on} UTC`).toISOString().slice(0, 10), Number(plot), Number(outlet)]).toEqual([
        ...[slip, draw.onDate, draw.plot, draw.outlet],
      ])
      // To the litre or two decimals, as it is printed.
      expect(Math.abs(Number(volume) - draw.volumeM3), slip).toBeLessThan(0.0051)
    }
  })

  it('has words for a row of every register that may be shown', async () => {
    const { db } = await openValley()
    const shown = (await registers(db)).filter(({ open }) => open).map(({ table }) => table)
    expect(shown.filter((table) => !(table in told))).toEqual([])
  })

  it('keeps money and doors from an attendant, and all lists from a neighbour', async () => {
    const { signIn } = await openValley()
    const attendant = await signIn('dovi')
    const doors = (await attendant.open('/book/files')).text
    expect(doors).toContain('/book/files/abstraction.csv')
    expect(doors).not.toMatch(/files\/(transfer|credential|receipt|session)/)
    expect((await attendant.open('/book/files/transfer.csv')).status).toBe(404)
    // Why a fine or a relief was declined may say what somebody owes.
    for (const table of ['withheld', 'warning', 'ladder_step'])
      expect((await attendant.open(`/book/files/${table}.csv`)).status).toBe(404)
    expect((await attendant.open('/book/files/credential.csv')).status).toBe(404)
    expect((await (await signIn('isko')).open('/book/files')).status).toBe(403)
  })

  it('reads back what else goes out as a list: balance, draws, ledger, receipts, a statement and every blank', async () => {
    const { signIn } = await openValley()
    const [treasurer, attendant] = [await signIn('fanta'), await signIn('dovi')]
    const statement = (await treasurer.open('/money/members/all')).html.querySelector('a[href^="/money/members/"]')
    const own = statement ? [`${statement.getAttribute('href')}.csv`] : []
    const blanks = PAPER_BOOKS.map(({ name }) => `/paper/${name}/blank.csv`)
    for (const [visitor, paths] of [
      [treasurer, ['/money/all-lines.csv', '/money/receipts.csv', ...own]],
      [attendant, ['/water/went.csv', '/log/lines/drawn.csv', ...blanks]],
    ] as const) {
      for (const path of paths) {
        const answer = await visitor.agent.get(path).buffer(true)
        expect([path, answer.status]).toEqual([path, 200])
        // Without the option that forgives it, a row with more or fewer cells than the headings is an error.
        const rows: string[][] = parse(answer.text, { bom: true })
        expect([path, rows.length > 0 && rows[0]!.every((head) => head !== '')]).toEqual([path, true])
      }
    }
  })

  it('prints people, plots, rules, requests and the water side of the season whole, one book a page, without money', async () => {
    const { signIn, db } = await openValley()
    const isko = await signIn('isko')
    const cover = await isko.open('/paper/whole')
    const doors = cover.html.querySelectorAll('main table a').map((door) => door.getAttribute('href')!)
    expect(doors.map((door) => door.split('/').at(-1))).toEqual(PRINTED)
    for (const door of doors) {
      const row = cover.html.querySelector(`a[href="${door}"]`)!.closest('tr')!
      const lines = Number(row.querySelector('td')!.text.replace(/\D/g, ''))
      expect([door, await linesOf(isko, door)]).toEqual([door, lines])
    }
    const draws = await db.selectFrom('abstraction').select('entryId').execute()
    expect(await linesOf(isko, '/paper/lines/pump-log')).toBe(draws.length)
    expect((await isko.open('/paper/lines/nothing')).status).toBe(404)
  }, 60_000)

  it('has every table of the book in a print, or a written reason why not', async () => {
    const { db, signIn } = await openValley()
    const all = (await factTables(db)).toSorted()
    const own = [...PRINTED_PEOPLE, ...PRINTED_WORKS].flatMap(({ tables }) => tables)
    const open = (await registers(db)).filter((one) => one.open).map(({ table }) => table)
    const reasoned = Object.keys(NOT_PRINTED) as typeof all
    expect([...new Set([...own, ...open, ...reasoned])].toSorted()).toEqual(all)
    expect(reasoned.filter((table) => own.includes(table) || open.includes(table))).toEqual([])
    // The rest comes line by line to officers alone, and counts every row of every open table that no other book prints.
    const people = await db
      .selectFrom('entry')
      .innerJoin('person', 'person.entryId', 'entry.writtenBy')
      .select(['entry.id', 'person.name'])
      .execute()
    const writerOf = new Map(people.map(({ id, name }) => [id, name]))
    const writers: string[] = []
    for (const table of open.filter((one) => !own.includes(one))) {
      const written = (await db.selectFrom(table).selectAll().execute()) as { entryId: string }[]
      writers.push(...written.map(({ entryId }) => writerOf.get(entryId)!))
    }
    const rows = writers.length
    const auditor = await signIn('goro')
    const cover = await auditor.open('/paper/whole')
    const line = cover.html.querySelector('a[href$="/paper/lines/rest"]')!.closest('tr')!
    expect(Number(line.querySelector('td')!.text.replace(/\D/g, ''))).toBe(rows)
    const page = await auditor.open('/paper/lines/rest')
    const lines = page.html.querySelectorAll('main tbody tr')
    expect([page.status, lines.length]).toEqual([200, Math.min(rows, 200)])
    // Each line tells who wrote it, whoever wrote the line before.
    expect(lines.map((one) => one.querySelector('td')!.text.trim())).toEqual(writers.slice(0, 200))
    expect(new Set(writers.slice(0, 200)).size).toBeGreaterThan(1)
    await expectLabels(
      db,
      lines.map((one) => one.text.replace(/\s+/g, ' ').trim()),
    )
    expect((await (await signIn('isko')).open('/paper/lines/rest')).status).toBe(403)
  }, 60_000)
})

const PRINTED = [
  ...['people', 'decisions', 'plots', 'plans', 'rules', 'requests'],
  ...['turns', 'pump-log', 'pump-readings', 'tanks', 'levels', 'weather'],
  ...['flow-tests', 'night-tests', 'faults', 'closings'],
]

/** Figures stand with what they are called, and a second name with what it is about, in the order of the register. */
async function expectLabels(db: Database, lines: readonly string[]): Promise<void> {
  const { areaM2, depthM, stopBelowRimCm } = await db.selectFrom('chamber').selectAll().executeTakeFirstOrThrow()
  const chamber = lines.find((line) => line.includes('A chamber ('))
  expect(chamber).toMatch(/A chamber \(\d+ \w+ 2026\): weir \d; area, m²: /)
  expect(chamber).toContain(`area, m²: ${areaM2}; depth, m: ${depthM}; `)
  expect(chamber).toContain(`the water is below the rim, cm: ${stopBelowRimCm}`)
  expect(lines.find((line) => line.includes('End of a crop ('))).toMatch(
    /: planting: plot \d+, [A-Z][a-z].*, \d+ \w+ 2026; last day/,
  )
  const names = lines.filter((line) => line.includes('A second name ('))
  const subjects = await db
    .selectFrom('approval')
    .innerJoin('entry', 'entry.id', 'subjectId')
    .select(['kind', 'approval.entryId'])
    .execute()
  const kinds = new Map(subjects.map(({ entryId, kind }) => [entryId, kind]))
  const written = await db.selectFrom('approval').selectAll().execute()
  const called = names.map((line) => /: about “(.+) \(\d+ \w+ 2026.*\)”$/.exec(line)?.[1])
  expect(called.slice(0, 3).length).toBe(3)
  expect(called).toEqual(written.slice(0, names.length).map(({ entryId }) => CALLED[kinds.get(entryId)!]))
}

/** As the list of files calls them, without their day. */
const CALLED: Record<string, string> = {
  tariff: 'The price of water',
  'cash-count': 'A count of the cash',
  voucher: 'A voucher',
  'reserve-move': 'Into or out of the reserve',
  decision: 'A decision',
  'flow-test': 'Bucket test of an outlet',
  'tank-outlet': 'The tank of an outlet',
  'tank-use': 'The use of a tank',
}

/** The lines of a printed book, part after part. */
async function linesOf(visitor: Visitor, door: string): Promise<number> {
  let lines = 0
  for (let path: string | undefined = door; path; ) {
    const page = await visitor.open(path)
    expect([path, page.status]).toEqual([path, 200])
    // Nor the keys by which the file knows a thing.
    expect(page.words).not.toMatch(/XOF|undefined|NaN|null|[a-z]_[a-z]/)
    lines += page.html.querySelectorAll('main tbody tr').length
    path = page.html.querySelector('main a[rel=next]')?.getAttribute('href')
  }
  return lines
}
