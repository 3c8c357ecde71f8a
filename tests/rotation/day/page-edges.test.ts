import { beforeAll, expect, it } from 'vitest'
import { answers } from '../../../server/answers.ts'
import { currentGroup } from '../../../server/people/group/store.ts'
import { shownDay } from '../../../server/rotation/day/lines.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Visitor } from '../../support/visitor.ts'

// Changes of a day that fall on the very minute in which a turn begins or ends, and more than one at a pump.

const THURSDAY = '2026-11-26'

let valley: Awaited<ReturnType<typeof openValley>>
let attendant: Visitor
beforeAll(async () => {
  valley = await openValley()
})

async function at(on: string, clock: string): Promise<void> {
  valley.setNow(`${on}T${clock}:00Z`)
  attendant = await valley.signIn('dovi')
}

async function less(on: string, pump: string, fields: Record<string, string>) {
  const page = await attendant.open(`/log/days/${on}`)
  return attendant.send(page, { pumpId: optionValue(page, 'pumpId', pump), ...fields }, `/log/days/${on}/less`)
}

const shown = async (on: string) => shownDay(valley.db, answers.rotation, (await currentGroup(valley.db))!, on)

async function log(on: string, plot: number, [startTime, endTime, volume]: readonly string[]): Promise<void> {
  const { turn } = (await shown(on)).lines.find((line) => Number(line.turn.plot?.number) === plot)!
  const path = `/log/turns/${turn.bookId}?method=volume`
  const { status, words } = await attendant.fill(path, {
    volume: volume!,
    unit: 'm3',
    startTime: startTime!,
    endTime: endTime!,
  })
  expect(status, words).toBe(200)
}

/** Of the last change, by plot: what was agreed, had been drawn and is agreed now. */
async function told(on: string): Promise<Record<string, number[]>> {
  const { changes, week } = await shown(on)
  return Object.fromEntries(
    changes
      .at(-1)!
      .turns.map(({ turnId, wasM3, drawnM3, nowM3 }) => [
        week!.turns.find(({ bookId }) => bookId === turnId)!.plot!.number,
        [wasM3, drawnM3 ?? 0, nowM3],
      ]),
  )
}

/** The turns by plot, what the log says of them, the change, and what it then tells. */
const STOPS: [
  why: string,
  pump: string,
  drawn: [plot: number, ...log: string[]][],
  fields: Record<string, string>,
  told: object,
][] = [
  [
    'a turn whose first draw was over before the pump stopped has its rest, because a second was not',
    'Hem',
    [
      [39, '07:00', '08:00', '1'],
      [39, '08:30', '10:45', '3'],
    ],
    { since: '10:20', until: '10:40' },
    { 39: [8.611, 4, 7.808], 35: [8.884, 0, 7.048], 13: [6.459, 0, 4.845] },
  ],
  [
    'a turn that ended in the very minute, with less than agreed, is over',
    'Crossing',
    [[17, '08:20', '08:44', '0.5']],
    { since: '08:44', until: '08:50' },
    {},
  ],
  [
    'of a turn that began in the very minute the log has the last word',
    'Heron',
    [[30, '08:50', '10:40', '3']],
    { since: '08:50', until: '09:00' },
    {},
  ],
]

it('of a stopped pump leave whoever was over, and bring the rest to whoever was still drawing', async () => {
  await at(VALLEY_TODAY, '10:50')
  for (const [why, pump, drawn, fields, expected] of STOPS) {
    for (const [plot, ...rest] of drawn) await log(VALLEY_TODAY, plot, rest)
    await less(VALLEY_TODAY, pump, { kind: 'down', ...fields })
    expect(await told(VALLEY_TODAY), why).toEqual(expected)
  }
})

it('bring no rest to a turn that had as much as agreed, as well as the log knows', async () => {
  await at(THURSDAY, '10:20')
  await log(THURSDAY, 37, ['07:00', '10:15', '6.6'])
  await less(THURSDAY, 'Hem', { kind: 'down', since: '10:00', until: '10:10' })
  expect(await told(THURSDAY)).toEqual({})
})

it('of a pump that was read leave alone the turn that ended in the very minute', async () => {
  // The pump gave a fifth of what it was to have given by then, when the turn of plot 1 ended.
  await less(THURSDAY, 'Heron', { kind: 'given', since: '10:20', gave: '2' })
  expect(await told(THURSDAY)).toEqual({ 5: [9.06, 0, 2.741], 29: [12.606, 0, 2.664], 6: [1.292, 0, 0] })
})

it('lower what a pump was to have given by its own stop alone', async () => {
  const asked = async () => {
    const page = await less(THURSDAY, 'Crossing', { kind: 'given', since: '10:00', gave: '9999' })
    return /was to have given ([\d.]+) m³/.exec(page.html.querySelector('#gave-error')!.text)![1]
  }
  // 0.9, 2.8 and 4.4 m3 in the hours from seven on; that of eight falls out.
  expect(await asked()).toBe('8.1')
  await less(THURSDAY, 'Crossing', { kind: 'down', since: '08:00', until: '09:00' })
  expect(await asked()).toBe('5.3')
})
