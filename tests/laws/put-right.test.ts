import { beforeAll, expect, it } from 'vitest'
import { openValley } from '../support/valley.ts'
import type { Seen } from '../support/visitor.ts'
import { linesOf } from './figures.ts'

/** Kinds of lines that are put right by a form which holds what was written, and where. */
const FORMS: Record<string, string> = {
  abstraction: '/log/lines/drawn',
  fault: '/log/lines/fault',
  'fault-fix': '/log/lines/mended',
  'pump-service': '/log/lines/service',
  'pump-day-reading': '/log/lines/meter',
  'tank-reading': '/log/lines/tank',
  'slip-book': '/log/lines/slip-book',
  'level-reading': '/water/lines/level',
  'drought-stage': '/water/lines/stage',
  'crop-plan': '/crops/lines/crop',
  decision: '/people/lines/decision',
}

/** What is reckoned or listed from such lines. */
const PAGES =
  `/ /water /water/lasts /water/went /water/kept /water/dry /water/walls /water/stream /crops /crops/planting /crops/season
  /crops/working/planting /crops?as=hurt /money /money/agree /turns/weeks/2026-11-16 /turns/weeks/2026-11-23
  /turns/weeks/2026-11-30 /turns/weeks/2026-11-30/compare /turns/fair /turns/rule /turns/lists /log/days/2026-11-23
  /log/days/2026-11-24 /log/working/pumps /log/faults /log/tests /works /people /people/decisions`.split(/\s+/)

const IS_WHEN_WRITTEN = /^\d+ 2026 \d\d:\d\d$/

const before = new Map<string, Seen>()
const after = new Map<string, Seen>()
/** The line of each kind, and what was put in its place. */
const lines = new Map<string, [was: Seen, is: Seen]>()

beforeAll(async () => {
  const { db, signIn } = await openValley()
  const amaru = await signIn('amaru')
  for (const path of PAGES) before.set(path, await amaru.open(path))
  for (const [kind, list] of Object.entries(FORMS)) {
    const last = db.selectFrom('entry').select('id').where('kind', '=', kind).orderBy('seq', 'desc')
    const line = `${list}/${(await last.executeTakeFirstOrThrow()).id}`
    const was = await amaru.open(line)
    const is = await amaru.fill(`${line}/correct`, { reason: 'read once more' }, { action: `${line}/correct` })
    lines.set(kind, [was, is])
  }
  for (const path of PAGES) after.set(path, await amaru.open(path))
})

it.each(Object.keys(FORMS).filter((kind) => kind !== 'drought-stage'))(
  'the form that puts a line right holds all of it: %s',
  (kind) => {
    const [was, is] = lines.get(kind)!.map((line) => linesOf(line).filter((told) => !IS_WHEN_WRITTEN.test(told)))
    expect(was!.length).toBeGreaterThan(0)
    expect(is).toEqual(expect.arrayContaining(was!))
  },
)

it('a line that is put right as it was changes no figure of what is reckoned from it', () => {
  expect([...before.values()].map(({ status }) => status)).toEqual(PAGES.map(() => 200))
  expect([...before.values()].flatMap(linesOf).length).toBeGreaterThan(500)
  for (const path of PAGES) expect(linesOf(after.get(path)!), path).toEqual(linesOf(before.get(path)!))
})
