import { describe, expect, it } from 'vitest'
import { plausibility } from '../../../domain/abstractions/plausibility/flags.ts'
import type { PlausibilityInput, TurnFacts } from '../../../domain/abstractions/plausibility/logged-turn.ts'

// The clock and the place of a turn: each flag at its limit and a minute or a digit beyond.
const PLACE: TurnFacts = { outletId: '6', pumpId: 'upper', meterId: 'm' }
const HOURS = { startAt: '2031-07-03T08:00:00Z', stopAt: '2031-07-03T10:00:00Z' }

const told = (turn: Partial<TurnFacts>, more: Partial<PlausibilityInput> = {}) =>
  plausibility({ ...more, turn: { ...PLACE, ...turn } })
const causes = (turn: Partial<TurnFacts>, more: Partial<PlausibilityInput> = {}) =>
  told(turn, more).map(({ code, likelyCause }) => `${code}: ${likelyCause}`)

describe('the clock of a turn', () => {
  const at = (startAt: string, stopAt?: string) => ({
    startAt: `2031-07-${startAt}Z`,
    ...(stopAt ? { stopAt: `2031-07-${stopAt}Z` } : {}),
  })

  it('runs back by up to half a day where the morning was meant for the afternoon, else past midnight', () => {
    expect(causes(at('03T10:00:00', '03T10:00:00'))).toEqual([])
    expect(causes(at('03T22:00:00', '03T10:00:00'))).toEqual(['stop-before-start: morning-for-afternoon'])
    expect(causes(at('03T22:01:00', '03T10:00:00'))).toEqual(['stop-before-start: past-midnight'])
    expect(causes(at('03T22:01:00'))).toEqual([])
  })

  it('is ahead of the writing from the next second on', () => {
    const ahead = (stopAt: string, writtenAt: string) =>
      told(at('03T08:00:00', stopAt), { writtenAt: `2031-07-${writtenAt}Z` })
    expect(ahead('03T10:00:00', '03T10:00:00')).toEqual([])
    expect(ahead('03T10:01:30', '03T10:00:00')).toEqual([
      {
        code: 'hour-in-the-future',
        values: { at: '2031-07-03T10:01:30Z', writtenAt: '2031-07-03T10:00:00Z', aheadMinutes: 2 },
        likelyCause: 'morning-for-afternoon',
      },
    ])
    expect(ahead('03T22:00:00', '03T10:00:00')[0]!.likelyCause).toBe('morning-for-afternoon')
    expect(ahead('03T22:01:00', '03T10:00:00')[0]!.likelyCause).toBe('date-or-clock-wrong')
    expect(causes(at('03T08:00:00'), { writtenAt: '2031-07-03T07:00:00Z' })).toEqual([
      'hour-in-the-future: morning-for-afternoon',
    ])
  })

  it('jumped back where what is written later says an earlier hour, not the same', () => {
    const jumped = (writtenAt: string) => causes({}, { writtenAt, previousWrittenAt: '2031-07-03T10:00:00Z' })
    expect(jumped('2031-07-03T10:00:00Z')).toEqual([])
    expect(jumped('2031-07-03T09:59:00Z')).toEqual(['clock-jumped-back: date-or-clock-wrong'])
  })

  it('was half a year before the writing', () => {
    const late = (writtenAt: string) => told({}, { writtenAt, happenedAt: '2031-01-01T12:00:00Z' })
    // 183 days after the first of January is the third of July.
    expect(late('2031-07-04T11:59:00Z')).toEqual([])
    expect(late('2031-07-04T12:00:00Z')).toEqual([
      { code: 'day-long-before-writing', values: { days: 184 }, likelyCause: 'date-or-clock-wrong' },
    ])
  })

  it('is within its plan by a quarter of an hour at either end', () => {
    const plan = { plan: HOURS }
    const outside = (start: string, stop?: string) => causes(at(`03T${start}:00`, stop && `03T${stop}:00`), plan)
    const MOVED = ['outside-the-plan: turn-moved']
    const HALF_DAY = ['outside-the-plan: morning-for-afternoon']
    expect(outside('07:45', '10:15')).toEqual([])
    expect(outside('07:44', '10:00')).toEqual(MOVED)
    expect(outside('08:00', '10:16')).toEqual(MOVED)
    expect(outside('10:15')).toEqual([])
    expect(outside('10:16')).toEqual(MOVED)
    expect(outside('19:45', '22:15')).toEqual(HALF_DAY)
    expect(outside('19:44', '22:15')).toEqual(MOVED)
    expect(outside('19:45', '22:16')).toEqual(MOVED)
    expect(causes(at('02T19:45:00', '02T22:15:00'), plan)).toEqual(HALF_DAY)
    expect(causes(at('02T19:44:00', '02T22:15:00'), plan)).toEqual(MOVED)
  })

  it('is another’s too by whole minutes', () => {
    const beside = (start: string, stop: string, more = {}) =>
      told(HOURS, {
        others: [
          {
            id: 'x',
            outletId: '7',
            meterId: 'm',
            startAt: `2031-07-03T${start}:00Z`,
            stopAt: `2031-07-03T${stop}:00Z`,
            ...more,
          },
        ],
      }).map(({ values, likelyCause }) => [values.minutes, likelyCause])
    expect(beside('10:00', '11:00')).toEqual([])
    expect(beside('07:00', '08:00')).toEqual([])
    expect(beside('09:59', '11:00')).toEqual([[1, 'two-outlets-open']])
    expect(beside('07:00', '08:01')).toEqual([[1, 'two-outlets-open']])
    expect(beside('08:30', '09:00')).toEqual([[30, 'two-outlets-open']])
    expect(beside('07:00', '11:00')).toEqual([[120, 'two-outlets-open']])
    expect(beside('08:30', '09:00', { meterId: 'other' })).toEqual([])
    expect(beside('08:30', '09:00', { meterId: undefined })).toEqual([])
    expect(beside('08:30', '09:00', { outletId: '6', meterId: undefined })).toEqual([[30, 'outlet-number-misread']])
  })

  it('asks nothing of two turns without a meter of which no hours are known', () => {
    const other = { id: 'x', outletId: '7', startAt: HOURS.startAt, stopAt: HOURS.stopAt }
    const meterless = { outletId: '6', pumpId: 'upper' }
    expect(plausibility({ turn: { ...meterless, ...HOURS }, others: [other] })).toEqual([])
    expect(causes({ startAt: HOURS.startAt }, { others: [{ ...other, meterId: 'm' }] })).toEqual([])
  })
})

describe('an outlet that the pump does not reach', () => {
  const misread = (outletId: string, pumpOutletIds: string[], outletPumpIds: string[] | undefined = ['lower']) =>
    told({ outletId }, { outletPumpIds, pumpOutletIds }).map(({ values, likelyCause }) => [
      values.suggestedOutletId,
      likelyCause,
    ])
  const TOLD = (id: string) => [[id, 'outlet-number-misread']]
  const NOT_TOLD = [[undefined, 'cannot-tell']]

  it.each([
    ['9', ['6', '7'], TOLD('6')],
    ['6', ['9', '8'], TOLD('9')],
    ['1', ['7'], TOLD('7')],
    ['7', ['1'], TOLD('1')],
    ['21', ['12', '13'], TOLD('12')],
    ['29', ['26', '39'], TOLD('26')],
    ['29', ['36'], NOT_TOLD],
    ['9', ['66', '96'], NOT_TOLD],
    ['9', ['6', '9'], TOLD('6')],
    ['61', ['91', '67'], NOT_TOLD],
    ['3', ['8'], NOT_TOLD],
    ['3', [], NOT_TOLD],
  ])('written %s where %s are reached', (written, reached, expected) => {
    expect(misread(written, reached)).toEqual(expected)
  })

  it('is none where the pump reaches it, or nothing is known of that', () => {
    expect(misread('9', ['6'], ['lower', 'upper'])).toEqual([])
    expect(told({ outletId: '9' }, {})).toEqual([])
  })
})
