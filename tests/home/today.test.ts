import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { setHolders } from '../../server/people/plot/store.ts'
import { bookedTurns } from '../../server/rotation/published/turn-store.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { optionValue, type Seen } from '../support/visitor.ts'

const WEEK = '2026-11-23'
const clock = (minute: number) =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

/** The one thing that the first page asks for. */
const slip = (page: Seen) => page.html.querySelector('.slip.first')?.text.replace(/\s+/g, ' ').trim() ?? ''

/** Turns of today that nobody has written anything of, in their order. */
async function turnsOfToday() {
  const { turns } = (await bookedTurns(valley.db, WEEK))!
  const drawn = await valley.db.selectFrom('abstraction').select('turnId').execute()
  return turns.filter((turn) => turn.on === VALLEY_TODAY && !drawn.some(({ turnId }) => turnId === turn.bookId))
}

/** The valley keeps the hours of UTC. */
async function at(minute: number, name: string): Promise<Seen> {
  valley.setNow(`${VALLEY_TODAY}T${clock(minute)}:00Z`)
  return (await valley.signIn(name)).open('/')
}

describe('the first page of an attendant', () => {
  it('says where water begins, then where it runs, of several the one that ends first, and leads to its form', async () => {
    const turns = await turnsOfToday()
    const minute = turns[0]!.startMinute + 5
    const running = turns.filter(({ startMinute, endMinute }) => startMinute <= minute && minute < endMinute)
    const [first, ...others] = [...running].sort((a, b) => a.endMinute - b.endMinute)
    if (!first) throw new Error('Nothing runs in the example.')
    const page = await at(minute, 'dovi')
    expect(slip(page)).toContain(`Outlet ${first.outlet!.number} begins: read the meter`)
    const startOf = page.html.querySelector('.slip.first')!.getAttribute('href')!
    expect(startOf).toBe(`/log/turns/${first.bookId}?as=start`)
    expect(slip(page)).toContain(
      `Begins at the same hour: outlet ${others.map(({ outlet }) => outlet!.number).join(', ')}`,
    )
    const dovi = await valley.signIn('dovi')
    await dovi.fill(startOf, { meterM3: '70000', asRead: 'yes' })
    expect(slip(await at(minute, 'dovi'))).toContain(`Outlet ${others[0]!.outlet!.number} begins: read the meter`)
    for (const { bookId } of others)
      await dovi.fill(`/log/turns/${bookId}?as=start`, { meterM3: '80000', asRead: 'yes' })
    const read = await at(minute, 'dovi')
    expect(slip(read)).toContain(`Outlet ${first.outlet!.number}: stop when the meter shows`)
    expect(slip(read)).toContain(new Intl.NumberFormat('en-GB').format(70_000 + Math.floor(first.volumeM3)))
    expect(read.html.querySelector('.slip.first')!.getAttribute('href')).toBe(`/log/turns/${first.bookId}`)
  })

  it('asks for no reading of a start that is long past', async () => {
    const turns = await turnsOfToday()
    const minute = turns[0]!.startMinute + 45
    const late = turns.filter(({ startMinute, endMinute }) => startMinute + 30 <= minute && minute < endMinute)
    const page = await at(minute, 'dovi')
    expect(late.length).toBeGreaterThan(0)
    for (const { bookId } of late) {
      expect(page.html.querySelector(`a[href="/log/turns/${bookId}?as=start"]`)).toBeNull()
      expect(page.html.querySelector(`a[href="/log/turns/${bookId}"]`)).not.toBeNull()
    }
  })

  it('asks after the last hour for what is not written, and for the close of every pump that ran', async () => {
    const turns = await turnsOfToday()
    const pumps = new Set(turns.map(({ pumpId }) => pumpId)).size
    const page = await at(Math.max(...turns.map(({ endMinute }) => endMinute)) + 1, 'dovi')
    expect(slip(page)).toContain(`Write in outlet ${turns[0]!.outlet!.number}`)
    const close = page.html.querySelectorAll('.list a').find(({ text }) => text.includes('Close the day'))!
    expect(Number(close.querySelector('.figure')!.text)).toBe(pumps)
  })

  it('has a line for two turns that nobody wrote in and one for all others, so that round and close stand open', async () => {
    const turns = await turnsOfToday()
    expect(turns.length).toBeGreaterThan(4)
    const page = await at(Math.max(...turns.map(({ endMinute }) => endMinute)) + 1, 'dovi')
    const folded = page.html.querySelectorAll('main details .list a').map(({ text }) => text)
    const open = page.html
      .querySelectorAll('main .list a')
      .map(({ text }) => text.replace(/\s+/g, ' '))
      .filter((text) => !folded.some((one) => one.replace(/\s+/g, ' ') === text))
    expect(open.filter((text) => /Write in outlet/.test(text))).toHaveLength(1)
    const others = open.find((text) => text.includes('more turns to write in'))!
    expect(others).toContain(`${turns.length - 2} more turns`)
    for (const turn of turns.slice(2)) expect(others).toMatch(new RegExp(`\\b${turn.outlet!.number}\\b`))
    expect(open.some((text) => text.includes('Evening round'))).toBe(true)
    expect(open.some((text) => text.includes('Close the day'))).toBe(true)
  })

  it('says from the form of a turn that nobody came, and offers it no more once something is written', async () => {
    const [turn] = await turnsOfToday()
    valley.setNow(`${VALLEY_TODAY}T${clock(turn!.startMinute - 5)}:00Z`)
    const dovi = await valley.signIn('dovi')
    const form = `/log/turns/${turn!.bookId}`
    const causes = async () =>
      (await dovi.open(form)).html.querySelectorAll('button[name=cause]').map((button) => button.getAttribute('value'))
    expect(await causes()).toEqual([])
    valley.setNow(`${VALLEY_TODAY}T${clock(turn!.startMinute + 20)}:00Z`)
    expect(await causes()).toEqual(['no-show', 'breakdown'])
    await dovi.send(await dovi.open(form), { cause: 'no-show' }, `/turns/${turn!.bookId}/became`)
    expect(await causes()).toEqual([])
    const outcomes = await valley.db.selectFrom('turnOutcome').selectAll().where('turnId', '=', turn!.bookId).execute()
    expect(outcomes).toHaveLength(1)
  })

  it('reminds whoever has written the weather of late of today’s, and nobody else', async () => {
    const reminded = async (name: string) => /Weather of today/.test((await at(8 * 60, name)).words)
    expect(await reminded('dovi')).toBe(true)
    expect(await reminded('hila')).toBe(false)
    const dovi = await valley.signIn('dovi')
    await dovi.fill('/crops/weather/new', { onDate: VALLEY_TODAY, tmaxC: '31', tminC: '19', rainMm: '0' })
    expect(await reminded('dovi')).toBe(false)
  })
})

describe('the first page of a member', () => {
  it('has the own next turn as a card before all else, with what can be done about it', async () => {
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const own = turns.find(({ plot, on }) => on >= VALLEY_TODAY && plot!.holders.includes('Hila Quarm'))!
    valley.setNow(`${own.on}T${clock(own.startMinute - 30)}:00Z`)
    const page = await (await valley.signIn('hila')).open('/')
    expect(slip(page)).toBe('')
    const card = page.html.querySelector('.turn-card')!.text.replace(/\s+/g, ' ')
    expect(card).toContain(`${clock(own.startMinute)}–${clock(own.endMinute)}`)
    expect(card).toContain(`Outlet ${own.outlet!.number}:`)
    for (const door of ['I cannot come', 'Swap or give', 'Free hours', 'Why this much']) expect(card).toContain(door)
    // Within a week that is agreed more water lies in its free hours; a request is for a later week.
    const more = page.html.querySelectorAll('.turn-card a').find(({ text }) => text.includes('Free hours'))!
    expect(more.getAttribute('href')).toBe('/turns/asked?as=free')
  })

  it('says which own crop is short today, with what it asks for and the way to why', async () => {
    const hila = await valley.signIn('hila')
    const numbersShort = async () => {
      const said = /(?:water now: ([\d, ]+)\.|Plot (\d+) is short of water now)/.exec((await hila.open('/crops')).words)
      return (said?.[1] ?? said?.[2] ?? '').split(', ').filter(Boolean).map(Number)
    }
    const thirsty = async () => (await hila.open('/')).html.querySelector('main .slip.first')
    const plots = await valley.db.selectFrom('plot').select(['entryId', 'number']).execute()
    const short = await numbersShort()
    expect(short.length).toBeGreaterThan(0)
    expect(short).not.toContain(8)
    // Hers is not short yet, and will be before its turn on Saturday; of her part nothing is left to book.
    expect((await hila.open('/crops')).words).toMatch(/plot 8 .*? is the first to suffer.*?Water it today\./)
    expect((await hila.open('/')).words).toMatch(
      /Ask for water for plot 8 ?Water is needed today, and no turn comes so soon. Nothing is free .* early day/,
    )
    // Of her other plot something is, a day after its water is needed.
    expect((await hila.open('/')).words).toMatch(
      /needed by Thursday 26 .* free for it, from Friday 27 November on: late for the crop, so take the first of them\./,
    )
    const { entryId, number } = plots.find((plot) => plot.number === short[0])!
    const amaru = await valley.signIn('amaru')
    const form = await amaru.open(`/people/plots/${entryId}/change?as=holders`)
    await amaru.send(form, { holderIds: [optionValue(form, 'holderIds', 'Hila')] })
    // Whoever has room within the part is led to the hours that nobody has, once, and they take what was told.
    const line = (await thirsty())!
    const told =
      /Take free hours for plots? ([\d, ]+?) ?(?:It is|Their crops|Water).*?([\d,]+) jerrycans are free for .*?, from (\w+)/
    const said = told.exec(line.text.replace(/\s+/g, ' '))!
    expect([said[1], said[0]]).toEqual([
      expect.stringContaining(String(number)),
      expect.stringContaining('short of water today'),
    ])
    const freeHours = '/turns/asked?as=free'
    expect(line.text).not.toContain('late for the crop')
    expect(line.getAttribute('href')).toBe(freeHours)
    expect((await hila.open('/')).html.querySelectorAll(`main a[href="${freeHours}"]`)).toHaveLength(1)
    const slots = (await hila.open(freeHours)).html.querySelectorAll('main tbody tr').map(({ text }) => text.trim())
    const ofPlot = slots.filter((slot) =>
      said[1]!.split(', ').some((plot) => new RegExp(`pump\\s+(.*, )?${plot}\\b`).test(slot)),
    )
    expect(ofPlot[0]).toContain(said[3]!)
    const rooms = [...(await hila.open(freeHours)).words.matchAll(/Plot (\d+) may still book ([\d.]+) m³/g)]
    const room = rooms.filter(([, plot]) => said[1]!.split(', ').includes(plot!))
    expect(room.length).toBeGreaterThan(0)
    const cans = room.reduce((all, [, , volumeM3]) => all + Number(volumeM3) * 50, 0)
    expect(Number(said[2]!.replaceAll(',', ''))).toBeLessThanOrEqual(cans)
    expect(Number(said[2]!.replaceAll(',', ''))).toBeGreaterThan(cans - 15)
  })

  it('has the same “I cannot come” for an officer, until the turn begins', async () => {
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const own = turns.find(({ plot, on }) => on > VALLEY_TODAY && plot!.holders.includes('Amaru Tolle'))!
    const act = `#turn-${own.bookId} form[action="/turns/${own.bookId}/became"] [value="excused"]`
    const open = async (minute: number) => {
      valley.setNow(`${own.on}T${clock(minute)}:00Z`)
      return (await valley.signIn('amaru')).open(`/log/days/${own.on}`)
    }
    const ahead = await open(own.startMinute - 60)
    expect(ahead.html.querySelector(act)?.text).toContain('I cannot come')
    expect(ahead.html.querySelector(`#turn-${own.bookId}`)!.text).not.toContain('Called off')
    expect((await open(own.startMinute + 5)).html.querySelector(act)).toBeNull()
  })
})

describe('the first page of the committee', () => {
  it('leads to the coming week: levels, then weather, then the draft with what was asked for', async () => {
    valley.setNow('2026-11-28T10:00:00Z')
    const amaru = await valley.signIn('amaru')
    const steps = async () => {
      const page = await amaru.open('/')
      const lines = page.html
        .querySelectorAll('.slip.first, main .list a')
        .map((line) => line.text.replace(/\s+/g, ' ').trim())
      return lines.filter((line) => /then publish/.test(line))
    }
    const written = await valley.db.selectFrom('weatherDay').select(['onDate', 'rainMm', 'tmaxC']).execute()
    const week = Array.from({ length: 7 }, (_, ago) => addDays('2026-11-28', -1 - ago))
    const missing = week.filter(
      (on) => !written.some(({ onDate, rainMm, tmaxC }) => onDate === on && rainMm !== null && tmaxC !== null),
    )
    expect(missing.length).toBeGreaterThan(0)
    const [levels, weather, draft] = await steps()
    expect(levels).toMatch(/Read the levels, then publish/)
    expect(weather).toMatch(new RegExp(`Write the weather, then publish.* ${missing.length}$`))
    expect(draft).toMatch(/Look at the draft, then publish ?week of 30 Nov 2026; nobody asked/)
    // A day of which one of the three is not written is asked for still.
    const whole = { tmaxC: '31', tminC: '19', rainMm: '0' }
    for (const on of missing) await amaru.fill(`/crops/weather/new?on=${on}`, { onDate: on, ...whole })
    for (const lacking of ['tminC', 'tmaxC', 'rainMm']) {
      const onDate = missing[0]!
      const part = { onDate, ...whole, [lacking]: '', reason: 'Read again.' }
      await amaru.fill(`/crops/weather/new?on=${onDate}`, part)
      expect((await steps()).find((line) => line.includes('Write the weather'))).toMatch(/ 1$/)
    }
    await amaru.fill(`/crops/weather/new?on=${missing[0]}`, { onDate: missing[0]!, ...whole, reason: 'All of it.' })
    expect((await steps()).some((line) => line.includes('Write the weather'))).toBe(false)
  })
})

describe('the first page of an auditor', () => {
  it('tells first that the month before is not closed, and does not calm while it is not', async () => {
    const page = await at(8 * 60, 'goro')
    expect(slip(page)).toContain('October 2026 is not closed')
    expect(page.words).not.toContain('No difference waits for you')
  })

  it('begins with the own turn while its water runs, and tells the rest below', async () => {
    const page = await at(12 * 60, 'goro')
    expect(page.html.querySelector('.slip.first')).toBeNull()
    expect(page.words).toMatch(/Your turn now.*Due.*October 2026 is not closed/s)
  })
})

describe('the first page of a neighbour', () => {
  it('tells what is given out and never an amount of money', async () => {
    const page = await at(8 * 60, 'isko')
    expect(slip(page)).toMatch(/Agreed for the plots this week.*Nothing waits for you|nothing is drawn for crops/)
    expect(page.words).not.toMatch(/XOF|To pay/)
    expect(page.html.querySelectorAll('nav.tabs a').map(({ text }) => text.trim())).not.toContain('Money')
  })
})

describe('turns of one hand', () => {
  it('that share a minute are told with their plots and the first minute that they share, and no others', async () => {
    const [hila] = await valley.db.selectFrom('person').select('entryId').where('signInName', '=', 'hila').execute()
    const plots = await valley.db.selectFrom('plot').select(['entryId', 'number']).execute()
    await valley.db.transaction().execute(async (trx) => {
      const pen = { trx, writtenBy: hila!.entryId, writtenAt: `${VALLEY_TODAY}T09:00:00.000Z` }
      for (const { entryId } of plots) await setHolders(pen, entryId, [hila!.entryId], VALLEY_TODAY)
    })
    const { turns } = (await bookedTurns(valley.db, WEEK))!
    const numberOf = new Map(plots.map(({ entryId, number }) => [entryId, number]))
    const minutesOf = ({ on, startMinute, endMinute }: (typeof turns)[number]) =>
      new Set(Array.from({ length: endMinute - startMinute }, (_, at) => `${on} ${clock(startMinute + at)}`))
    const expected = turns.flatMap((turn, at) => {
      const own = minutesOf(turn)
      const other = turns.slice(at + 1).find((one) => [...minutesOf(one)].some((minute) => own.has(minute)))
      const first = other && [...minutesOf(other)].find((minute) => own.has(minute))
      return other ? [`${numberOf.get(turn.plotId)} ${numberOf.get(other.plotId)} ${first!.slice(11)}`] : []
    })
    const page = await at(600, 'hila')
    const lines = page.html.querySelectorAll('main a').filter(({ text }) => text.includes('Two turns at once'))
    const told = lines.map(({ text }) => {
      const [, one, other] = /plots (\d+) and (\d+)/.exec(text)!
      return `${one} ${other} ${/\d\d:\d\d/.exec(text)![0]}`
    })
    expect(expected.length).toBeGreaterThan(10)
    expect(expected.length).toBeLessThan(turns.length)
    expect(told.sort()).toEqual(expected.sort())
  })
})
