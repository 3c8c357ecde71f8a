import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { stopReadingM3 } from '../../../domain/rotation/outcome/stop-reading.ts'
import { bookedTurns } from '../../../server/rotation/published/turn-store.ts'
import { hasMeterToItself, meteredTurn } from '../../../server/rotation/turn-start/stop-state.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'

const WEEK = '2026-11-23'

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

const turnsToday = async () => {
  const { turns } = (await bookedTurns(valley.db, WEEK))!
  return turns.filter(({ on, droppedBy }) => on === VALLEY_TODAY && !droppedBy)
}
const formOf = (id: string) => `/log/turns/${id}?as=start`

describe('the reading at which a turn ends', () => {
  it('goes on at nought after the last figure of the meter', () => {
    expect(stopReadingM3({ startM3: 4822.6, volumeM3: 3.8, meterDigits: 5 })).toBe(4826.4)
    expect(stopReadingM3({ startM3: 99_998.5, volumeM3: 4, meterDigits: 5 })).toBe(2.5)
  })

  it('stands on the day, in the log and on the holder’s card once the start was read, and not before', async () => {
    const [turn] = await turnsToday()
    const attendant = await valley.signIn('dovi')
    const day = `/log/days/${VALLEY_TODAY}`
    expect((await attendant.open(day)).words).not.toContain('stop at')
    const sent = await attendant.fill(formOf(turn!.bookId), { meterM3: '90000', asRead: 'yes' })
    expect(sent.path).toBe(day)
    const stop = new Intl.NumberFormat('en-GB', { minimumFractionDigits: 3 }).format(90_000 + turn!.volumeM3)
    expect((await attendant.open(day)).words).toContain(`stop at ${stop}`)
    const log = await attendant.open(`/log/turns/${turn!.bookId}`)
    expect(log.words.replace('Stop at', '')).toContain(stop)
    expect(log.html.querySelector('[name=opening]')!.getAttribute('value')).toBe('90000')
  })

  it('stands on the slip with the start as it was read, also where the wheels go on at nought', async () => {
    const turn = (await turnsToday()).find(({ volumeM3 }) => volumeM3 > 5)!
    const attendant = await valley.signIn('dovi')
    const rows = async () => {
      const slip = await attendant.open(`/turns/${turn.bookId}/slip`)
      return slip.html.querySelectorAll('.slip-sum tr').map((row) => row.querySelector('td')!.text.replace(/\s+/g, ''))
    }
    expect(await rows()).toEqual(['.', '8.6', '.'])
    await attendant.fill(formOf(turn.bookId), { meterM3: '99998.5', asRead: 'yes' })
    expect(turn.volumeM3).toBe(8.611)
    expect(await rows()).toEqual(['99998.5', '8.6', '7.1'])
  })

  it('takes a start under the last closing only from whoever looked twice, and keeps what was typed', async () => {
    const [turn] = await turnsToday()
    const attendant = await valley.signIn('dovi')
    const again = await attendant.fill(formOf(turn!.bookId), { meterM3: '1' })
    expect(again.status).toBe(422)
    expect(again.words).toContain('less than the last closing')
    expect(again.html.querySelector('[name=meterM3]')!.getAttribute('value')).toBe('1')
    expect((await attendant.fill(formOf(turn!.bookId), { meterM3: '1', asRead: 'yes' })).path).toBe(
      `/log/days/${VALLEY_TODAY}`,
    )
  })

  it('is not written for a turn of another day', async () => {
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const later = turns.find(({ on, droppedBy }) => on > VALLEY_TODAY && !droppedBy)!
    const attendant = await valley.signIn('dovi')
    const refused = await attendant.fill(formOf(later.bookId), { meterM3: '90000', asRead: 'yes' })
    expect([refused.status, refused.words.includes('read on the day of the turn')]).toEqual([409, true])
    expect(await valley.db.selectFrom('turnStart').selectAll().execute()).toEqual([])
  })

  it('is not said where two turns run past one meter, nor of water from a tank', async () => {
    const [turn] = await turnsToday()
    const one = meteredTurn(turn!)
    const beside = {
      ...one,
      bookId: 'other' as Id<'turn'>,
      startMinute: one.endMinute - 1,
      endMinute: one.endMinute + 60,
    }
    expect(hasMeterToItself(one, [one])).toBe(true)
    expect(hasMeterToItself(one, [one, beside])).toBe(false)
    expect(hasMeterToItself(one, [one, { ...beside, isFromTank: true }])).toBe(true)
    expect(hasMeterToItself({ ...one, isFromTank: true }, [one])).toBe(false)
    const { startMinute, endMinute } = one
    const after = { ...beside, startMinute: endMinute }
    const before = { ...beside, startMinute: startMinute - 60, endMinute: startMinute }
    expect(hasMeterToItself(one, [one, after, before])).toBe(true)
    expect(hasMeterToItself(one, [one, { ...before, endMinute: startMinute + 1 }])).toBe(false)
    expect(hasMeterToItself(one, [one, { ...beside, pumpId: 'other' as Id<'pump'> }])).toBe(true)
    expect(hasMeterToItself(one, [one, { ...beside, on: addDays(one.on, 1) }])).toBe(true)
  })
})
