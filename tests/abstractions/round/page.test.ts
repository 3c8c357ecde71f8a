import { sql } from 'kysely'
import { beforeEach, describe, expect, it } from 'vitest'
import { listReadings } from '../../../server/water/level/store.ts'
import { pumpReadings } from '../../../server/works/tank/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue, type Seen } from '../../support/visitor.ts'
import { signInAgain } from '../../water/support.ts'
import { abstractionsBook, TODAY as OWN_DAY } from '../book.ts'

const ROUND = '/log/round?moment=dawn'
const TODAY = { fromOn: VALLEY_TODAY, toOn: VALLEY_TODAY }

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

const namesOf = (page: Seen, kind: string) =>
  page.html
    .querySelectorAll(`input[name^="${kind}-"]`)
    .map((input) => input.getAttribute('name')!)
    .filter((name) => !name.endsWith('hourMeter'))

describe('the morning round', () => {
  it('asks every meter, tank and level on one page, and writes with one sending what was read', async () => {
    const attendant = await valley.signIn('dovi')
    const page = await attendant.open(ROUND)
    const [meters, levels] = [namesOf(page, 'pump'), namesOf(page, 'weir')]
    expect([meters.length, levels.length]).toEqual([3, 4])
    const before = [(await pumpReadings(valley.db, TODAY)).length, (await listReadings(valley.db, TODAY)).length]
    const typed = { [meters[0]!]: '91000', [meters[1]!]: '92000', [levels[0]!]: '231' }
    const home = await attendant.send(page, { ...typed, atTime: '00:01' })
    expect(home.path).toBe('/')
    const after = [(await pumpReadings(valley.db, TODAY)).length, (await listReadings(valley.db, TODAY)).length]
    expect(after).toEqual([before[0]! + 2, before[1]! + 1])
    await attendant.send(page, { ...typed, atTime: '00:01' })
    expect((await pumpReadings(valley.db, TODAY)).length).toBe(after[0])
  })

  it('writes nothing where one figure is wrong, says which, and keeps all that was typed', async () => {
    const attendant = await valley.signIn('dovi')
    const page = await attendant.open(ROUND)
    const [meter, other] = namesOf(page, 'pump')
    const before = (await pumpReadings(valley.db, TODAY)).length
    const again = await attendant.send(page, { [meter!]: '91000', [other!]: 'ninety', atTime: '00:01' })
    expect(again.status).toBe(422)
    expect(again.html.querySelector(`[name="${other}"]`)!.getAttribute('aria-invalid')).toBe('true')
    expect(again.html.querySelector(`[name="${meter}"]`)!.getAttribute('value')).toBe('91000')
    expect((await pumpReadings(valley.db, TODAY)).length).toBe(before)
  })

  it('shows of each meter what it showed last, be it on the round or at the end of a turn', async () => {
    const attendant = await valley.signIn('dovi')
    const { words } = await attendant.open(ROUND)
    const shown = [...words.matchAll(/Last: ([\d,.]+) m³ on/g)].map(([, reading]) =>
      Number(reading!.replaceAll(',', '')),
    )
    const { rows } = await sql<{ last: number }>`
      select max(reading) as last from (
        select pump_id, closing_m3 as reading from abstraction where closing_m3 is not null
        union all select pump_id, meter_m3 from pump_day_reading) as shown
      group by pump_id`.execute(valley.db)
    expect(shown.toSorted((one, other) => one - other)).toEqual(
      rows.map(({ last }) => Math.round(last * 1000) / 1000).toSorted((one, other) => one - other),
    )
  })

  it('says so where nothing was read at all', async () => {
    const attendant = await valley.signIn('dovi')
    const again = await attendant.fill(ROUND, { atTime: '00:01' })
    expect([again.status, again.words.includes('Write at least one figure')]).toEqual([422, true])
  })
})

describe('in a book of one pump', () => {
  it('what the meter showed last is at dusk before a draw, and at a draw before dawn, of the later day', async () => {
    const { ada, pumpId } = await abstractionsBook()
    const last = async () => /Last: ([\d,.]+ m³ on \d+)/.exec((await ada.open(ROUND)).words)?.[1]
    const round = async (onDate: string, moment: string, meter: string) => {
      const page = await ada.open('/log/round?as=meter')
      const atTime = moment === 'dawn' ? '05:50' : '16:50'
      expect((await ada.send(page, { pumpId, onDate, moment, meter, atTime })).status).toBe(200)
    }
    const drawn = async (onDate: string, opening: string, closing: string) => {
      const page = await ada.open('/log/water?use=irrigation')
      const [place, plotId] = [optionValue(page, 'place', 'Outlet 3'), optionValue(page, 'plotId', '7 Mango')]
      await ada.send(page, { place, plotId, onDate, opening, closing, startTime: '08:00' })
    }
    expect(await last()).toBeUndefined()
    await drawn('2026-06-08', '90', '91')
    expect(await last()).toBe('91 m³ on 8')
    await round('2026-06-09', 'dusk', '92')
    expect(await last()).toBe('92 m³ on 9')
    await drawn('2026-06-10', '92', '94')
    expect(await last()).toBe('94 m³ on 10')
    await round(OWN_DAY, 'dawn', '95')
    expect(await last()).toBe('95 m³ on 11')
    await drawn(OWN_DAY, '95', '97')
    expect(await last()).toBe('97 m³ on 11')
    await round(OWN_DAY, 'dusk', '98')
    expect(await last()).toBe('98 m³ on 11')
  })

  it('is the evening’s from noon on', async () => {
    const { ada, setNow } = await abstractionsBook()
    const moment = async (instant: string) => {
      setNow(instant)
      await signInAgain(ada)
      return (await ada.open('/log/round')).html.querySelector('main [name="moment"]')!.getAttribute('value')
    }
    expect(await moment('2026-06-12T08:59:59Z')).toBe('dawn')
    expect(await moment('2026-06-12T09:00:00Z')).toBe('dusk')
  })
})
