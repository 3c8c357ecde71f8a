import { beforeEach, describe, expect, it } from 'vitest'
import { addDays } from '../../../domain/calendar.ts'
import { correctCropPlan, cropPlans } from '../../../server/crops/plan/store.ts'
import { standingWeek } from '../../../server/rotation/outcome/standing-week.ts'
import { laidSwap, payerOfTurn } from '../../../server/rotation/swap/store.ts'
import { holdFromToday, openValley, VALLEY_TODAY } from '../../support/valley.ts'
import { optionValue } from '../../support/visitor.ts'

const WEEK = '2026-11-23'

let valley: Awaited<ReturnType<typeof openValley>>
beforeEach(async () => {
  valley = await openValley()
})

const standing = async () => (await standingWeek(valley.db, WEEK))!.standing
/** Hila takes over a plot with a turn that could be given to several others. */
async function hilasTurn() {
  const chair = await valley.signIn('amaru')
  const week = (await standingWeek(valley.db, WEEK))!
  for (const turn of week.standing.filter((one) => one.on > VALLEY_TODAY)) {
    const givable = []
    for (const plot of week.inputs.plots.filter((one) => one.id !== turn.plotId)) {
      const swap = { weekStartOn: WEEK, turnId: turn.bookId, otherTurnId: null, toPlotId: plot.id }
      if ('turns' in (await laidSwap(valley.db, swap))) givable.push(plot)
    }
    if (givable.length === 0) continue
    const form = await chair.open(`/people/plots/${turn.plotId}/change?as=holders`)
    await holdFromToday(valley.db, turn.plotId!, [optionValue(form, 'holderIds', 'Hila')!])
    return { turn, givable }
  }
  throw new Error('no turn that could be given')
}

describe('a gift of a turn', () => {
  it('moves only when both plots have agreed, keeps who wrote the word in, and stands as a dated change', async () => {
    const hila = await valley.signIn('hila')
    const { turn, givable } = await hilasTurn()
    const to = givable[0]!
    const path = `/turns/${turn.bookId}/otherwise?as=swap`
    const none = await hila.fill(path, {})
    expect(none.status).toBe(422)
    expect(none.words).toContain('Choose either a turn to swap with or a plot to give to')
    const proposed = await hila.fill(path, { toPlotId: to.id, payer: 'holder' })
    expect(proposed.path).toBe('/turns/asked?as=swaps')
    expect(proposed.words).toContain('Hila Quarm agreed, written by Hila Quarm')
    expect(proposed.words).toContain('Whoever had the turn pays')
    expect(proposed.words).toContain(`Plot ${to.number} (${to.holders.join(', ')}) has not agreed yet`)
    for (const beside of ['/turns', path])
      expect((await hila.open(beside)).html.querySelector('a[href="/turns/asked?as=swaps"]')).not.toBeNull()
    expect((await standing()).some((one) => one.bookId === turn.bookId)).toBe(true)
    const attendant = await valley.signIn('dovi')
    const agreed = await attendant.send(await attendant.open('/turns/asked?as=swaps'), { given: 'message' })
    expect(agreed.words).toContain('They sent a message.')
    expect(agreed.words).toContain('Agreed by both')
    expect(agreed.words).toContain(`${to.holders[0]} agreed, written by Dovi Marrok`)
    const now = await standing()
    expect(now.some((one) => one.bookId === turn.bookId)).toBe(false)
    const taken = now.filter((one) => one.plotId === to.id && one.on === turn.on && one.amendment)
    expect(taken).toMatchObject([{ startMinute: turn.startMinute, volumeM3: turn.volumeM3 }])
    expect(await payerOfTurn(valley.db, taken[0]!.bookId)).toMatchObject({ plotId: turn.plotId })
    const untouched = now.find((one) => !one.amendment)!
    expect(await payerOfTurn(valley.db, untouched.bookId)).toBeNull()
    expect((await hila.open(`/turns/weeks/${WEEK}/sheet`)).words).toContain('whoever had the turn pays')
  })

  it('is refused to a plot on which nothing grows or is soon to be sown, also when its crop goes before it is agreed', async () => {
    const hila = await valley.signIn('hila')
    const { turn, givable } = await hilasTurn()
    const to = givable[0]!
    const path = `/turns/${turn.bookId}/otherwise?as=swap`
    const swap = { weekStartOn: WEEK, turnId: turn.bookId, otherTurnId: null, toPlotId: to.id }
    const refusal = async () => {
      const laid = await laidSwap(valley.db, swap)
      return 'refusal' in laid ? laid.refusal : null
    }
    const chair = await valley.signIn('amaru')
    const sow = (sownOn: string) =>
      chair.fill('/crops/new', { plotId: to.id, cropKey: 'kitchen_garden', area: '100', sownOn })
    expect(await refusal()).toBeNull()
    await hila.fill(path, { toPlotId: to.id, payer: 'taker' })
    const { entryId: writtenBy } = await valley.db
      .selectFrom('person')
      .select('entryId')
      .where('signInName', '=', 'amaru')
      .executeTakeFirstOrThrow()
    const writtenAt = `${VALLEY_TODAY}T10:00:00.000Z`
    for (const { id, plotId } of await cropPlans(valley.db))
      if (plotId === to.id)
        await valley.db
          .transaction()
          .execute((trx) =>
            correctCropPlan({ trx, writtenBy, writtenAt }, { planId: id, plan: null, reason: 'never sown' }),
          )
    expect(await refusal()).toBe('no-crop-there')
    const refused = await hila.fill(path, { toPlotId: to.id, payer: 'taker' })
    expect([refused.status, refused.words.includes('No crop stands on this plot')]).toEqual([422, true])
    const dovi = await valley.signIn('dovi')
    const late = await dovi.send(await dovi.open('/turns/asked?as=swaps'), { given: 'message' })
    expect([late.status, late.words.includes('No crop stands on this plot')]).toEqual([409, true])
    await sow(addDays(turn.on, 8))
    expect(await refusal()).toBe('no-crop-there')
    await sow(addDays(turn.on, 7))
    expect(await refusal()).toBeNull()
  })

  it('is not for a member to propose with somebody else’s turn', async () => {
    const hila = await valley.signIn('hila')
    const { turn: own } = await hilasTurn()
    const other = (await standing()).find((turn) => turn.on >= VALLEY_TODAY && turn.plotId !== own.plotId)!
    expect((await hila.open(`/turns/${other.bookId}/otherwise?as=swap`)).status).toBe(403)
  })
})
