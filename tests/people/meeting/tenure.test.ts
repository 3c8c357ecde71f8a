import { describe, expect, it } from 'vitest'
import { balanceOf } from '../../../domain/fees/ledger.ts'
import { InputError } from '../../../domain/input-error.ts'
import { partsTyped, splitPlot, splitWish } from '../../../domain/people/split.ts'
import { trialParts } from '../../../domain/rotation/newcomer.ts'
import { approve } from '../../../server/book/names/approvals.ts'
import { standsOn } from '../../../server/crops/plan/ground.ts'
import { cropPlans } from '../../../server/crops/plan/store.ts'
import { dueFees } from '../../../server/fees/fixed-fee/store.ts'
import { listTransfers } from '../../../server/fees/ledger/transfer-store.ts'
import { setTariff } from '../../../server/fees/tariff/store.ts'
import { listPlots } from '../../../server/people/plot/store.ts'
import { requestsFor } from '../../../server/rotation/request/store.ts'
import { openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { answersOf, optionValue } from '../../support/visitor.ts'

describe('a split', () => {
  it('leaves of area, shares and wishes together what was there, to the last litre', () => {
    expect(splitPlot({ areaM2: 1000, shares: 1 }, { areaM2: 400, shares: null })).toEqual({
      stays: { areaM2: 600, shares: 0.6 },
      goes: { areaM2: 400, shares: 0.4 },
    })
    for (const [areaM2, shares, part] of [
      [777, 1, 333],
      [1000.5, 2.5, 1],
      [3, 7, 2],
    ] as const) {
      const { stays, goes } = splitPlot({ areaM2, shares }, { areaM2: part, shares: null })
      expect(stays.areaM2 + goes.areaM2).toBeCloseTo(areaM2, 6)
      expect(stays.shares + goes.shares).toBeCloseTo(shares, 6)
    }
    const [stays, goes] = splitWish(5.001, [600, 400])
    expect([stays, goes, Math.round((stays + goes) * 1000)]).toEqual([3.001, 2, 5001])
    expect(() => splitPlot({ areaM2: 400, shares: 1 }, { areaM2: 400, shares: null })).toThrow(InputError)
    expect(() => splitPlot({ areaM2: 400, shares: 1 }, { areaM2: 40, shares: 2 })).toThrow(InputError)
  })

  it('is one act on the page, which says the totals, and touches no debt', async () => {
    const valley = await openValley()
    const [amaru, dovi] = [await valley.signIn('amaru'), await valley.signIn('dovi')]
    const grown = (await cropPlans(valley.db)).filter((plan) => standsOn(plan, VALLEY_TODAY))
    const takenOf = (id: string) =>
      grown.filter(({ plotId }) => plotId === id).reduce((total, { areaM2 }) => total + areaM2, 0)
    const plot = (await listPlots(valley.db, VALLEY_TODAY)).find(
      ({ id, isAreaKnown, areaM2 }) => isAreaKnown && areaM2 > 300 && takenOf(id) <= areaM2 * 0.75,
    )!
    await dovi.fill('/turns/ask', {
      ...{ plotId: plot.id, weekStartOn: '2026-12-07', volume: '5', everyWeek: 'yes' },
      askedIn: 'm3',
    })
    const wishes = async (week: string) =>
      (await requestsFor(valley.db, week)).reduce((total, one) => total + (one.volumeM3 ?? 0), 0)
    const before = [await wishes('2026-12-07'), (await valley.db.selectFrom('transfer').selectAll().execute()).length]
    const path = `/people/plots/${plot.id}/change?as=split`
    const form = await amaru.open(path)
    expect(form.words).toContain('wishes for 5 m³')
    const typed = { holderIds: optionValue(form, 'holderIds', 'Hila'), name: 'Lower half', minute: '9/1' }
    const whole = await amaru.send(form, { ...typed, area: String(plot.areaM2) })
    expect([whole.status, whole.words]).toEqual([422, expect.stringContaining('must stay')])
    const page = await amaru.fill(path, { ...typed, area: String(plot.areaM2 / 4) })
    expect(page.words).toMatch(/was split.*are now.*Together it still wishes for 5 m³.*No debt was touched/)
    const plots = await listPlots(valley.db, VALLEY_TODAY)
    const both = plots.filter(({ id, name }) => id === plot.id || name === 'Lower half')
    expect(both.map(({ areaM2 }) => areaM2)).toEqual([plot.areaM2 * 0.75, plot.areaM2 / 4])
    expect(both.reduce((total, { shares }) => total + shares, 0)).toBeCloseTo(plot.shares, 6)
    const asked = (await requestsFor(valley.db, '2026-12-07')).filter(({ plotId }) =>
      both.some(({ id }) => id === plotId),
    )
    expect(asked.map(({ volumeM3 }) => volumeM3).toSorted()).toEqual([1.25, 3.75])
    expect([await wishes('2026-12-07'), (await valley.db.selectFrom('transfer').selectAll().execute()).length]).toEqual(
      before,
    )
    expect((await dovi.open('/people/decisions')).words).toMatch(/9\/1 ?one act/)
    // A wish for what the crop needs has no sum with the others.
    const need = await dovi.fill('/turns/ask', { plotId: plot.id, weekStartOn: '2026-12-07', volume: '' })
    expect([need.status, (await amaru.open(path)).words]).toEqual([
      200,
      expect.stringContaining('it wishes for what is needed in the weeks to come'),
    ])
  })
})

it('a split leaves the crops in the ground the room that they take', async () => {
  const valley = await openValley()
  const amaru = await valley.signIn('amaru')
  const plots = await listPlots(valley.db, VALLEY_TODAY)
  const grown = (await cropPlans(valley.db)).find(
    (plan) => standsOn(plan, VALLEY_TODAY) && plots.some((plot) => plot.id === plan.plotId && plot.isAreaKnown),
  )!
  const plot = plots.find(({ id }) => id === grown.plotId)!
  const path = `/people/plots/${plot.id}/change?as=split`
  const holderIds = optionValue(await amaru.open(path), 'holderIds', 'Hila')
  const tooMuch = String(plot.areaM2 - grown.areaM2 + 1)
  const refused = await amaru.fill(path, { holderIds, name: 'Strip', area: tooMuch })
  expect([refused.status, refused.words]).toEqual([422, expect.stringContaining(`Crops in the ground take`)])
  expect((await listPlots(valley.db, VALLEY_TODAY)).length).toBe(plots.length)
  const fits = await amaru.fill(path, { holderIds, name: 'Strip', area: String(plot.areaM2 - grown.areaM2) })
  expect(fits.words).toContain('was split')
})

describe('co-holders', () => {
  it('owe by their parts what is due by share, together what it costs whole; without parts the first owes it', async () => {
    expect(partsTyped('60/40', 2)).toEqual([0.6, 0.4])
    expect(partsTyped('600 : 200', 2)).toEqual([0.75, 0.25])
    expect([partsTyped('60', 2), partsTyped('60/0', 2), partsTyped('a/b', 2)]).toEqual([null, null, null])
    const valley = await openValley()
    const amaru = await valley.signIn('amaru')
    const ids = new Map(
      (await valley.db.selectFrom('person').select(['name', 'entryId']).execute()).map((one) => [
        one.name.split(' ')[0],
        one.entryId,
      ]),
    )
    const alone = (await listPlots(valley.db, VALLEY_TODAY)).filter(({ holders }) => holders.length === 1)
    const heldOnce = alone.find(
      ({ holders }) => alone.filter((one) => one.holders[0]!.id === holders[0]!.id).length === 1,
    )!
    const { id: firstId, name } = heldOnce.holders[0]!
    const other = [...ids].find(([first, id]) => first === 'Isko' && id !== firstId)![1]
    await valley.db.transaction().execute(async (trx) => {
      const pen = (writtenBy: string) => ({ trx, writtenBy, writtenAt: `${VALLEY_TODAY}T06:00:00.000Z` })
      const parts = [{ kind: 'per-share' as const, priceMinor: 1001, every: 'month' as const }]
      const tariff = { fromOn: '2026-11-26', perM3Minor: 100, drinkingFree: true, parts }
      await approve(pen(ids.get('Amaru')!), await setTariff(pen(ids.get('Fanta')!), tariff))
    })
    const owedOn = async (on: string) => {
      const due = (await dueFees(valley.db, { toOn: on })).filter(
        ({ line }) => line.on === on && line.kind === 'per-share',
      )
      return new Map(due.map(({ payer, line }) => [payer.personId, line.amountMinor]))
    }
    const before = await owedOn('2026-12-01')
    const path = `/people/plots/${heldOnce.id}/change?as=holders`
    const held = { holderIds: [firstId, other], fromOn: VALLEY_TODAY }
    expect((await amaru.fill(path, { ...held, parts: '60' })).status).toBe(422)
    const page = await amaru.fill(path, { ...held, parts: '50/50' })
    expect(page.words).toContain(`${name} (50%)`)
    const after = await owedOn('2026-12-01')
    expect(after.get(firstId)! + after.get(other)!).toBe(before.get(firstId)! + (before.get(other) ?? 0))
    expect(after.get(firstId)).toBeLessThan(before.get(firstId)!)
  })
})

describe('land of the own household', () => {
  it('is written by another officer: no plot, no larger area and no part of a split is given to oneself', async () => {
    const valley = await openValley()
    const [amaru, besi] = [await valley.signIn('amaru'), await valley.signIn('besi')]
    const form = await amaru.open('/people/plots/new')
    const [own, hila] = ['Amaru', 'Hila'].map((name) => optionValue(form, 'holderIds', name))
    const plots = await listPlots(valley.db, VALLEY_TODAY)
    const heldBy = (id: string | undefined) => plots.find(({ holders }) => holders.some((one) => one.id === id))!
    const [mine, hers] = [heldBy(own), heldBy(hila)]
    const refused = async (path: string, typed: Record<string, string | string[]>) => {
      const page = await amaru.fill(path, typed)
      expect([page.status, page.words]).toEqual([422, expect.stringContaining('to your own household')])
    }
    await refused(`/people/plots/${hers.id}/change?as=holders`, { holderIds: [own!], fromOn: VALLEY_TODAY })
    const split = { number: '90', name: 'part', area: '100', shares: '', holderIds: [own!], fromOn: VALLEY_TODAY }
    await refused(`/people/plots/${hers.id}/change?as=split`, split)
    await refused(`/people/plots/${mine.id}/change`, { area: String(mine.areaM2 + 500) })
    await refused(`/people/plots/${mine.id}/change`, { shares: String(mine.shares + 1) })
    const ground = {
      soil: mine.soil,
      method: mine.method,
      outletIds: mine.outletIds,
      shares: '1',
      fromOn: VALLEY_TODAY,
    }
    await refused('/people/plots/new', { ...ground, number: '91', name: 'new', area: '300', holderIds: [own!] })
    expect(await listPlots(valley.db, VALLEY_TODAY)).toEqual(plots)
    // What gives them nothing they write, and another officer writes the rest.
    expect((await amaru.fill(`/people/plots/${mine.id}/change`, { method: 'drip' })).status).toBe(200)
    const path = `/people/plots/${hers.id}/change?as=holders`
    expect((await besi.fill(path, { holderIds: [own!], fromOn: VALLEY_TODAY })).words).toContain('Amaru')
  })
})

describe('a couple with one plot', () => {
  it('gives its water away only with how the other agreed; whoever holds alone is asked nothing', async () => {
    const valley = await openValley()
    const [amaru, hila] = [await valley.signIn('amaru'), await valley.signIn('hila')]
    const form = await amaru.open('/people/plots/new')
    const [hilaId, neighbourId] = ['Hila', 'Isko'].map((name) => optionValue(form, 'holderIds', name))
    const plot = (await listPlots(valley.db, VALLEY_TODAY)).find(({ holders }) =>
      holders.some(({ id }) => id === hilaId),
    )!
    const asked = { plotId: plot.id, weekStartOn: '2026-12-07', volume: '2', askedIn: 'm3', everyWeek: 'yes' }
    const endOf = (page: {
      html: { querySelector(css: string): { getAttribute(name: string): string | undefined } | null }
    }) => page.html.querySelector('form[action$="/end"]')?.getAttribute('action')
    // Alone she ends what she asked for every week with one tap.
    const alone = await hila.fill('/turns/ask', asked)
    expect((await hila.send(alone, {}, endOf(alone))).path).toBe('/turns/asked')
    expect(endOf(await hila.open('/turns/asked'))).toBeUndefined()

    const held = { holderIds: [hilaId!, neighbourId!], fromOn: VALLEY_TODAY }
    await amaru.fill(`/people/plots/${plot.id}/change?as=holders`, held)
    const together = await hila.fill('/turns/ask', asked)
    const question = await hila.send(together, {}, endOf(together))
    expect(question.words).toMatch(/Isko .*holds this plot too/)
    expect(endOf(await hila.open('/turns/asked'))).toBeDefined()
    const ended = await hila.send(question, { otherGiven: 'present' })
    expect(endOf(ended)).toBeUndefined()
    const marks = await valley.db.selectFrom('holderMark').select(['personId', 'given']).execute()
    expect(marks).toEqual([{ personId: neighbourId, given: 'present' }])
  })
})

describe('a plot that is let', () => {
  it('says who answers for what its tenant leaves unpaid, by the rule that is written and by none before', async () => {
    const valley = await openValley()
    const [amaru, fanta] = [await valley.signIn('amaru'), await valley.signIn('fanta')]
    const owing = (await fanta.open('/money/members')).html.querySelectorAll('.list a[href^="/money/members/"]')
    const officers = (
      await valley.db.selectFrom('person').select('entryId').where('signInName', 'in', ['amaru', 'besi']).execute()
    ).map(({ entryId }) => entryId as string)
    const tenantId = owing.map((a) => a.getAttribute('href')!.split('/').at(-1)!).find((id) => !officers.includes(id))!
    const plot = (await listPlots(valley.db, VALLEY_TODAY)).find(({ holders }) =>
      holders.some(({ id }) => id === tenantId),
    )!
    const form = await amaru.open(`/people/plots/${plot.id}/change?as=owner`)
    const ownerId = answersOf(form, 'ownerId')
      .map(({ value }) => value)
      .find((id) => !officers.includes(id) && !plot.holders.some((holder) => holder.id === id))!
    const page = await amaru.send(form, { ownerId, fromOn: VALLEY_TODAY })
    expect(page.words).toMatch(/It is let by .*No rule is written/)
    const rule = { fromOn: VALLEY_TODAY, minute: '10/2' }
    await amaru.fill('/people/settle/arrears-rule', { ...rule, follows: 'person' })
    expect((await amaru.open(page.path)).words).toContain('stays with the tenant')
    expect((await fanta.open('/money/members')).words).not.toContain('answers for it')
    await amaru.fill('/people/settle/arrears-rule', { ...rule, follows: 'plot' })
    expect((await amaru.open(page.path)).words).toContain('the owner answers for')
    expect((await fanta.open('/money/members')).words).toContain('answers for it')

    // Charged to the owner under a second name: what both owe together is what both owed, and nothing moves before.
    const owner = (
      await valley.db.selectFrom('account').select('entryId').where('personId', '=', ownerId).executeTakeFirstOrThrow()
    ).entryId
    const tenant = (
      await valley.db.selectFrom('account').select('entryId').where('personId', '=', tenantId).executeTakeFirstOrThrow()
    ).entryId
    const owe = async () => {
      const transfers = await listTransfers(valley.db)
      return [tenant, owner].map((accountId) => balanceOf({ transfers, accountId }))
    }
    const [tenantOwed, ownerOwed] = await owe()
    const door = (await fanta.open(`/money/members/${tenantId}`)).html.querySelector('a[href$="/to-owner"]')!
    const asked = await fanta.open(door.getAttribute('href')!)
    const much = await fanta.send(asked, { amount: String(tenantOwed! + 1), words: 'rule 12' })
    expect(much.status).toBe(422)
    const move = await fanta.send(asked, { amount: String(tenantOwed), words: 'rule 12' })
    expect(await owe()).toEqual([tenantOwed, ownerOwed])
    expect((await fanta.open(move.path)).html.querySelector('form[action^="/money/names/to-owner/"]')).toBeNull()
    const besi = await valley.signIn('besi')
    expect((await besi.open('/')).words).toContain('to be charged to the owner')
    await besi.fill(move.path, {}, { action: move.path })
    expect(await owe()).toEqual([0, ownerOwed! + tenantOwed!])
  })
})

describe('the waiting list', () => {
  it('tells what a newcomer does to everybody’s part before it is decided, and all parts are one', async () => {
    // Two plots by land: 600 and 400 of 1000 m²; with 250 m² more they are 48, 32 and 20 of a hundred, by proportion.
    const mix = { equalWeight: 0, areaWeight: 1, shareWeight: 0, personsWeight: 0, needWeight: 0, areaCapM2: null }
    const plots = [
      { id: 'a', areaM2: 600, shares: 1 },
      { id: 'b', areaM2: 400, shares: 1 },
    ]
    const trial = trialParts({ plots, newcomer: { id: 'c', areaM2: 250, shares: 1 }, mix })!
    expect(trial.map(({ after }) => Math.round(after * 100))).toEqual([48, 32, 20])
    expect(trial.map(({ before }) => Math.round(before * 100))).toEqual([60, 40, 0])
    expect(
      trialParts({
        plots,
        newcomer: { id: 'c', areaM2: 1, shares: 1 },
        mix: { ...mix, areaWeight: 0, personsWeight: 1 },
      }),
    ).toBeNull()

    const valley = await openValley()
    const amaru = await valley.signIn('amaru')
    const asks = { name: 'Rilo Marsh', area: '300', shares: '1', persons: '5' }
    const page = await amaru.fill('/people/applicants/new', asks)
    const column = (at: number) =>
      page.html
        .querySelectorAll('main tbody tr')
        .map((row) => Number(row.querySelectorAll('td')[at]!.text.replace('–', '0')))
    const total = (figures: number[]) => figures.reduce((sum, one) => sum + one, 0)
    const rows = column(0).length
    expect(Math.abs(total(column(0)) - 100)).toBeLessThan(rows * 0.05)
    expect(Math.abs(total(column(1)) - 100)).toBeLessThan(rows * 0.05)
    // Tried by other weights, everybody gets the same, and the rule is untouched.
    const tried = await amaru.open(`${page.path}?equal=1&area=&share=&persons=`)
    expect(tried.words).toContain('shared by the weights below')
    const afterwards = tried.html.querySelectorAll('main tbody tr').map((row) => row.querySelectorAll('td')[1]!.text)
    expect(afterwards.length).toBe(rows)
    expect(new Set(afterwards).size).toBe(1)
    expect((await amaru.open(page.path)).words).toContain('by the rule of today')
    const action = `${page.path}/end`
    const none = await amaru.send(page, { way: 'taken-in', words: 'two work days first' }, action)
    expect([none.status, none.words]).toEqual([422, expect.stringContaining('Write the number of the decision')])
    await amaru.send(page, { way: 'taken-in', words: 'two work days first', minute: '10/3' }, action)
    expect((await amaru.open('/people/applicants')).words).toContain('Taken in')
    expect((await amaru.open('/people/decisions')).words).toMatch(/10\/3 ?one act/)
  })
})
