import { beforeAll, expect, it } from 'vitest'
import { REFUSED_THEN_TAKEN, refusedThenTaken, sentTooLate } from '../laws/told.ts'
import { openValley } from '../support/valley.ts'
import { answersOf, type Fields, type Visitor } from '../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
let amaru: Visitor
/** The first choice of each list of things. */
const first: Record<string, string> = {}
beforeAll(async () => {
  valley = await openValley()
  amaru = await valley.signIn('amaru')
  first.pumpId = answersOf(await amaru.open('/log/meter'), 'pumpId')[0]!.value
  first.weirId = answersOf(await amaru.open('/works/pumps/new'), 'weirId')[0]!.value
})

const METER = { oldLast: '40000', digits: '5', atTime: '08:00', onDate: '2026-11-24' }
const PUMP = { name: 'Third', usualFlow: '4' }
const TANK = { number: '91', name: 'Pond', height: '2', holdsIn: 'm3', fromOn: '2026-11-25' }
const BROKEN = { what: 'the seal leaks', onDate: '2026-11-25' }

it.each<[address: string, of: string, wrong: Fields, words: string, right: Fields]>([
  [
    '/works/pumps/new',
    'weirId',
    { ...PUMP, firstHour: '9', lastHour: '9' },
    'must stop later than',
    { lastHour: '10' },
  ],
  [
    '/log/meter',
    'pumpId',
    { ...METER, newFirst: '100000' },
    'A meter with 5 digits cannot show that.',
    { newFirst: '99999' },
  ],
  ['/log/meter', 'pumpId', { ...METER, newFirst: '100000' }, 'A meter with 5 digits cannot', { digits: '6' }],
  [
    '/log/faults/new',
    'pumpId',
    { ...BROKEN, runsAgainOn: '2026-11-26' },
    'Tick that it cannot run, or leave the day empty.',
    { stopsPump: 'yes' },
  ],
  [
    '/log/faults/new',
    'pumpId',
    { ...BROKEN, runsAgainOn: '2026-11-27' },
    'Tick that it cannot run',
    { runsAgainOn: '' },
  ],
  [
    '/works/tanks/new',
    'pumpId',
    { ...TANK, holds: '0.0198' },
    'that would be a floor of 0.01 m². A tank here has 0.01 to',
    { holds: '0.02' },
  ],
  [
    '/works/tanks/new',
    'pumpId',
    { ...TANK, number: '92', holds: '20000.2' },
    'that would be a floor of 10,000.1 m²',
    { holds: '20000' },
  ],
])('%s with its %s and %o is told “%s”, and with %o taken', async (at, of, wrong, words, right) => {
  const seen = await refusedThenTaken(valley, amaru, { at, wrong: { [of]: first[of]!, ...wrong }, right })
  expect(seen.words).toContain(words)
  expect(seen).toMatchObject(REFUSED_THEN_TAKEN)
})

it('a fault is mended once', async () => {
  await amaru.fill('/log/faults/new', { pumpId: first.pumpId!, ...BROKEN, what: 'a cracked pipe' })
  const mended = { faultId: '~a cracked pipe', cause: 'wear', daysLost: '1' }
  const at = '/log/faults/mended'
  const late = await sentTooLate(valley, amaru, {
    at,
    fields: mended,
    meanwhile: async () => {
      const page = await amaru.open(at)
      const faultId = answersOf(page, 'faultId').find(({ words }) => words.includes('a cracked pipe'))!.value
      expect((await amaru.send(page, { ...mended, faultId })).status).toBe(200)
    },
  })
  expect(late).toMatchObject({ status: 422, written: 0 })
  expect(late.words).toContain('This fault was mended already.')
})
