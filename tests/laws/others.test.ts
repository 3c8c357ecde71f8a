import { beforeAll, expect, it } from 'vitest'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import type { Fields, Seen, Visitor } from '../support/visitor.ts'

const COUNTED = { people: '77', pupils: '5', cattle: '3', donkeys: '2', goatsAndSheep: '4' }
const INSTALMENTS = { personId: ':person', amount: '50', every: 'week', firstOn: '2026-12-01', times: '2' }

/** What may be written of one thing, the last of its kind, by whom, and where it is told; `:weir` and the like stand for its id. */
const ACTS: [who: 'amaru' | 'fanta', path: string, fields: Fields, tellsIt: string | null][] = [
  [
    'amaru',
    '/water/levels/new',
    { weirId: ':weir', readAt: '06:30', depth: '75', remark: 'read twice' },
    '/water/weirs/:weir',
  ],
  ['amaru', '/water/kept/count', { ...COUNTED, weirId: ':weir' }, '/water/working/kept/:weir'],
  ['amaru', '/water/walls/new', { weirId: ':weir', part: 'apron', state: 'sound', found: 'nothing' }, '/water/walls'],
  ['amaru', '/log/faults/new', { pumpId: ':pump', what: 'hose 7' }, '/log/faults'],
  ['amaru', '/works/settle/panels/:pump', { mount: 'tracking' }, null],
  ['amaru', '/works/settle/flow/:outlet', { flow: '3.3' }, '/works/outlets/:outlet'],
  [
    'amaru',
    '/crops/new',
    { plotId: ':plot', cropKey: 'cabbage', area: '13', sownOn: VALLEY_TODAY },
    '/crops/plots/:plot',
  ],
  ['amaru', '/crops/settle/mulch', { plotId: ':plot', kind: 'straw', percent: '60' }, null],
  ['amaru', '/turns/settle/people-of-plot', { plotId: ':plot', persons: '9' }, '/turns/rule'],
  [
    'amaru',
    '/people/settle/received-before',
    { plotId: ':plot', untilOn: '2026-08-01', volume: '31' },
    '/people/plots/:plot',
  ],
  ['amaru', '/people/plots/:plot/change', { area: '177' }, '/people/plots/:plot'],
  ['fanta', '/money/pay', { payerId: ':person', amount: '123', column: 'cash' }, '/money/members/:person'],
  ['fanta', '/money/members?as=instalments', INSTALMENTS, null],
]

/** Pages of another thing of each kind, the first. */
const OTHERS: ['amaru' | 'fanta', string][] = [
  ['amaru', '/water/weirs/:weir'],
  ['amaru', '/water/working/store/:weir'],
  ['amaru', '/water/working/kept/:weir'],
  ['amaru', '/water/working/chamber/:weir'],
  ['amaru', '/works/pumps/:pump'],
  ['amaru', '/works/outlets/:outlet'],
  ['amaru', '/crops/plots/:plot'],
  ['amaru', '/people/plots/:plot'],
  ['amaru', '/turns/plots/:plot'],
  ['amaru', '/turns/working/why/2026-11-23/:plot'],
  ['amaru', '/turns/working/why/2026-11-30/:plot'],
  ['amaru', '/people/:person'],
  ['fanta', '/money/members/:person'],
]

let countEntries: () => Promise<number>
const visitors = {} as Record<'amaru' | 'fanta', Visitor>
const first: Record<string, string> = {}
const last: Record<string, string> = {}
const filled = (path: string, ids: Record<string, string>) => path.replace(/:([a-z]+)/g, (_, kind) => ids[kind]!)

beforeAll(async () => {
  const { db, signIn } = await openValley()
  for (const kind of ['weir', 'pump', 'outlet', 'plot', 'person'] as const) {
    const rows = await db.selectFrom(kind).select('entryId').orderBy('number').execute()
    first[kind] = rows[0]!.entryId
    last[kind] = rows.at(-1)!.entryId
  }
  countEntries = async () => (await db.selectFrom('entry').select('seq').execute()).length
  visitors.amaru = await signIn('amaru')
  visitors.fanta = await signIn('fanta')
})

const openOthers = () => Promise.all(OTHERS.map(([who, path]) => visitors[who].open(filled(path, first))))

it.each(ACTS)(
  '%s at %s writes of one thing, and no page of another of its kind tells anything else',
  async (who, at, fields, tellsIt) => {
    const others = await openOthers()
    const own = tellsIt && (await visitors[who].open(filled(tellsIt, last)))
    const entries = await countEntries()
    const typed = Object.fromEntries(Object.entries(fields).map(([name, value]) => [name, filled(String(value), last)]))
    const path = filled(at, last)
    const answer = await visitors[who].fill(path, typed, { action: path })
    expect([answer.status, answer.html.querySelector('.wrong, [role=alert]')?.text]).toEqual([200, undefined])
    expect(await countEntries()).toBe(entries + 1)
    if (own) expect(told(await visitors[who].open(own.path))).not.toBe(told(own))
    const after = await openOthers()
    for (const [place, page] of after.entries()) expect(told(page), page.path).toBe(told(others[place]!))
  },
)

function told(page: Seen): string {
  expect(page.status, page.path).toBe(200)
  return page.words
}
