import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../domain/calendar.ts'
import { listAbstractions } from '../../server/abstractions/draw/store.ts'
import { setHolders } from '../../server/people/plot/store.ts'
import { canPicture } from '../../server/rotation/plot-record/pages.ts'
import { openValley, VALLEY_TODAY } from '../support/valley.ts'
import { answersOf } from '../support/visitor.ts'

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

/** A draw of a turn, with its plot, from the days before today. */
async function someDraw() {
  const draws = await listAbstractions(valley.db, { fromOn: '2026-11-16', toOn: VALLEY_TODAY })
  return draws.find((draw) => draw.turnId && draw.plotId && draw.method === 'meter' && draw.grade === 'measured')!
}

describe('what was agreed with a plot and what it drew', () => {
  it('keeps a corrected draw in sight beside its correction, and counts only what stands', async () => {
    const dovi = await valley.signIn('dovi')
    const draw = await someDraw()
    const path = `/turns/plots/${draw.plotId}`
    const before = await dovi.open(path)
    expect(before.status).toBe(200)
    expect(before.words).not.toContain('Corrected by')
    const closing = String(draw.closingM3! - 0.5)
    await dovi.fill(`/log/lines/drawn/${draw.id}/correct`, { closing, reason: 'Two digits were swapped.' })
    const after = await dovi.open(path)
    expect(after.words).toContain('Corrected by Dovi Marrok')
    expect(after.words).toContain('Two digits were swapped.')
    const volumes = (words: string) => Number(/, ([\d,.]+) m³ drawn\./.exec(words)![1])
    expect(volumes(before.words) - volumes(after.words)).toBeCloseTo(0.5, 1)
  })

  it('shows what was said of a turn, by whom, and leaves the others as agreed', async () => {
    const dovi = await valley.signIn('dovi')
    const form = (await dovi.open('/log')).html.querySelectorAll('form[action$="/became"]')[0]!
    const turnId = form.getAttribute('action')!.split('/')[2]!
    const { plotId } = await valley.db
      .selectFrom('turn')
      .select('plotId')
      .where('id', '=', turnId)
      .executeTakeFirstOrThrow()
    const fields = form.querySelectorAll('input').map((one) => [one.getAttribute('name'), one.getAttribute('value')])
    const said = { ...Object.fromEntries(fields), cause: 'late' }
    expect((await dovi.agent.post(`/turns/${turnId}/became`).type('form').send(said)).status).toBe(303)
    const { words } = await dovi.open(`/turns/plots/${plotId}`)
    expect(words).toContain('Came after the hour, written by Dovi Marrok')
    expect(words).toContain('Nothing was changed or said.')
  })

  it('adds up week by week what it drew and what was agreed, and drops what was corrected out of its week', async () => {
    const dovi = await valley.signIn('dovi')
    const draw = await someDraw()
    const weeks = async () => {
      const { html } = await dovi.open(`/turns/plots/${draw.plotId}`)
      return html.querySelectorAll('main a[href^="/turns/weeks/"]').map((line) => {
        const volume = (css: string) => /[\d.]+/.exec(line.querySelector(css)!.text)![0]
        const [agreed, drawn] = [volume('small'), volume('.figure')]
        return { startOn: line.getAttribute('href')!.split('/').at(-1)!, agreed, drawn }
      })
    }
    const told = await weeks()
    expect(told.map(({ startOn }) => startOn)).toEqual(
      told
        .map(({ startOn }) => startOn)
        .toSorted()
        .reverse(),
    )
    for (const { startOn, agreed, drawn } of [told[0]!, told[1]!, told.at(-1)!]) {
      const span = { fromOn: startOn, toOn: addDays(startOn, 6) }
      const own = (await listAbstractions(valley.db, span)).filter(({ plotId }) => plotId === draw.plotId)
      expect([startOn, drawn]).toEqual([startOn, own.reduce((all, { volumeM3 }) => all + volumeM3, 0).toFixed(1)])
      const asked = await dovi.open(`/turns/plots/${draw.plotId}?from=${span.fromOn}&to=${span.toOn}`)
      expect(asked.words).toContain(`${agreed} m³ in turns that stand, ${drawn} m³ drawn`)
    }
    const inWeek = (list: typeof told) => Number(list.find(({ startOn }) => draw.onDate >= startOn)!.drawn)
    const closing = String(draw.closingM3! - 1)
    await dovi.fill(`/log/lines/drawn/${draw.id}/correct`, { closing, reason: 'Two digits were swapped.' })
    expect(inWeek(told) - inWeek(await weeks())).toBeCloseTo(1, 6)
  })

  it('is open to every member and says nothing about money to whoever does not owe it', async () => {
    const draw = await someDraw()
    for (const name of ['hila', 'isko']) {
      const visitor = await valley.signIn(name)
      const page = await visitor.open(`/turns/plots/${draw.plotId}`)
      expect(page.status).toBe(200)
      expect(page.words).not.toMatch(/owes|owed|arrears|charge/i)
    }
  })

  it('tells of some days alone what was agreed, drawn and charged, the money to its keepers only', async () => {
    const charged = await valley.db
      .selectFrom('transfer')
      .innerJoin('abstraction', 'abstraction.entryId', 'transfer.abstractionId')
      .select(['plotId', 'abstraction.onDate', 'transfer.entryId'])
      .where('plotId', 'is not', null)
      .executeTakeFirstOrThrow()
    const { plotId, onDate, entryId } = charged
    const path = `/turns/plots/${plotId}?from=${onDate}&to=${onDate}`
    const page = await (await valley.signIn('goro')).open(path)
    const line = page.html.querySelector(`a[href="/money/working/charge/${entryId}"]`)!
    const [amount] = /XOF\s[\d,.]+/.exec(line.text)!
    // The working of the charge, which the money room makes, says the same amount of the same day.
    const working = await (await valley.signIn('goro')).open(`/money/working/charge/${entryId}`)
    expect(working.words).toContain(amount!.replace(/\s/, ' '))
    const whole = await (await valley.signIn('goro')).open(`/turns/plots/${plotId}`)
    const lines = (seen: typeof page) => seen.html.querySelectorAll('a[href^="/money/working/charge/"]').length
    expect([lines(page) > 0, lines(page) < lines(whole)]).toEqual([true, true])
    expect(page.html.querySelectorAll('main tbody tr').length).toBeLessThan(
      whole.html.querySelectorAll('main tbody tr').length,
    )
    expect((await (await valley.signIn('isko')).open(path)).words).not.toMatch(/XOF|charge/i)
  })
})

describe('the days that are asked for', () => {
  const ON = '2026-11-20'
  const [BEFORE, AFTER] = [addDays(ON, -1), addDays(ON, 1)]

  it('tell of a complaint about the plot that was made on one of them, the first and the last too', async () => {
    const hila = await valley.signIn('hila')
    const form = await hila.open('/people/complaints/new')
    const [plotId, other] = answersOf(form, 'plotId').flatMap(({ value }) => (value ? [value] : []))
    const words = 'The valve was left open for an hour.'
    const made = await hila.send(form, { words, saidOn: ON, plotId: plotId! })
    expect(made.status).toBe(200)
    const tells = async (plot: string, from: string, to: string) =>
      (await hila.open(`/turns/plots/${plot}?from=${from}&to=${to}`)).words.includes('Complaints')
    const asked = [
      [plotId!, ON, ON, true],
      [plotId!, BEFORE, AFTER, true],
      [plotId!, BEFORE, ON, true],
      [plotId!, ON, AFTER, true],
      [plotId!, BEFORE, BEFORE, false],
      [plotId!, AFTER, AFTER, false],
      [other!, BEFORE, AFTER, false],
    ] as const
    const told = await Promise.all(asked.map(async ([plot, from, to]) => [plot, from, to, await tells(plot, from, to)]))
    expect(told).toEqual(asked)
  })

  it.each([
    ['?from=2026-11-20&to=2026-11-19', true],
    ['?from=tomorrow', true],
    ['?to=2026-02-30', true],
    ['', true],
    [`?from=${ON}`, false],
    [`?to=${ON}`, false],
  ])('are the whole season where %j says none that are days in order: %s', async (asked, isWhole) => {
    const hila = await valley.signIn('hila')
    const door = (await hila.open('/')).html.querySelector('a[href^="/turns/plots/"]')!.getAttribute('href')!
    const season = await hila.open(door.split('?')[0]!)
    const page = await hila.open(door.split('?')[0]! + asked)
    const days = ({ html }: typeof page) => ['#from', '#to'].map((id) => html.querySelector(id)!.getAttribute('value'))
    expect(days(page).join() === days(season).join()).toBe(isWhole)
    // Cans stand for the season alone: what was due of some days would not be theirs.
    expect(page.html.querySelectorAll('.cans')).toHaveLength(isWhole ? 2 : 0)
  })

  it('show what was charged to each holder their own and to nobody else any', async () => {
    const seenBy = async (name: string) => {
      const { html, words } = await (await valley.signIn(name)).open(path)
      const lines = html.querySelectorAll('a[href^="/money/working/charge/"]').map((one) => one.getAttribute('href')!)
      return { lines, tellsOfMoney: words.includes('Charged') }
    }
    const hila = await valley.signIn('hila')
    const path = (await hila.open('/')).html.querySelector('a[href^="/turns/plots/"]')!.getAttribute('href')!
    const all = await seenBy('goro')
    expect(all.lines.length).toBeGreaterThan(0)
    expect(await seenBy('hila')).toEqual(all)
    expect(await seenBy('elu')).toEqual({ lines: [], tellsOfMoney: false })
    await holdTogether(path.split('/').at(-1)!, ['hila', 'elu'])
    expect(await seenBy('hila')).toEqual(all)
    expect(await seenBy('elu')).toEqual({ lines: [], tellsOfMoney: true })
  })
})

async function holdTogether(plotId: string, signInNames: string[]): Promise<void> {
  const people = await valley.db.selectFrom('person').select('entryId').where('signInName', 'in', signInNames).execute()
  const writing = { writtenBy: people[0]!.entryId, writtenAt: `${VALLEY_TODAY}T05:00:00.000Z` }
  const ids = people.map(({ entryId }) => entryId)
  await valley.db.transaction().execute((trx) => setHolders({ trx, ...writing }, plotId, ids, VALLEY_TODAY))
}

describe('the cans that show a plot’s part and what it had', () => {
  it('stand for a round measure, the same in both rows, the last one filled in part', () => {
    // 106 m3 in at most 12 cans: the next round measure above 8.8 is 10.
    const picture = canPicture({ dueM3: 106, hadM3: 70 })!
    expect(picture.canM3).toBe(10)
    expect(picture.due.cans).toHaveLength(11)
    expect(picture.due.cans.at(-1)).toBeCloseTo(0.6, 9)
    expect(picture.had.cans).toEqual(Array(7).fill(1))
    expect(canPicture({ dueM3: 0.9, hadM3: 0 })!.canM3).toBeCloseTo(0.1, 9)
    expect(canPicture({ dueM3: 0, hadM3: 0 })).toBeNull()
  })

  it('are told in words too, and the member’s first page leads there', async () => {
    const hila = await valley.signIn('hila')
    const door = (await hila.open('/')).html.querySelector('a[href^="/turns/plots/"]')!
    const page = await hila.open(door.getAttribute('href')!)
    const rows = page.html.querySelectorAll('.cans')
    expect(rows.map((row) => row.querySelector('svg')!.getAttribute('aria-label'))).toEqual(
      rows.map((row) => row.querySelector('strong')!.text),
    )
    expect(rows).toHaveLength(2)
  })
})
