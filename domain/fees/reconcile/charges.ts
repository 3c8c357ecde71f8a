import { fsum, group } from 'd3-array'
import { minor, sumMinor } from '../../money/money.ts'
import { type CannotSay, type Difference, difference } from './difference.ts'
import type { PostedSlip, ReconcileInput, WaitingCharge } from './types.ts'

/** Water against slips, slips against charges, charges against arrears. */
export function chargeDifferences({ water, slips, waiting = [], arrears }: ReconcileInput) {
  const cannotSay: CannotSay[] = water ? [] : ['no-pump-reading']
  const differences = [
    ...waterDifference(water),
    ...slips.flatMap(slipDifference),
    ...waitingDifferences(waiting),
    ...arrearsDifference(arrears),
  ]
  return { differences, cannotSay, volumes: volumesOf(slips) }
}

function waterDifference(water: ReconcileInput['water']): Difference[] {
  if (!water || Math.abs(water.unexplainedM3) <= water.toleranceM3) return []
  const { unexplainedM3, toleranceM3, pumpedM3 } = water
  const rest = { volumeM3: unexplainedM3, toleranceM3, values: { pumpedM3 } }
  if (unexplainedM3 < 0)
    return [difference('more-water-recorded-than-pumped', ['dates-of-readings', 'tank-readings'], rest)]
  return [difference('water-unexplained', ['missing-slips', 'tank-readings', 'night-hours', 'leaks'], rest)]
}

function slipDifference({ abstractionId, volumeM3, dueMinor, postedMinor }: PostedSlip): Difference[] {
  const amountMinor = minor(dueMinor - (postedMinor ?? 0))
  if (amountMinor === 0) return []
  const rest = { amountMinor, toleranceMinor: 0, volumeM3, values: { abstractionId, dueMinor } }
  if (postedMinor === null) return [difference('delivery-without-charge', [], rest)]
  const values = { ...rest.values, postedMinor }
  return [difference('charge-not-by-tariff', ['older-tariff', 'hours-and-volume-mixed'], { ...rest, values })]
}

/** Charges that wait for the same reason are one matter, with how many they are and what they come to. */
function waitingDifferences(waiting: readonly WaitingCharge[]): Difference[] {
  return [...group(waiting, ({ code }) => code)].map(([code, own]) => {
    const amountMinor = sumMinor(own.map((one) => one.amountMinor))
    return difference(code, [], {
      amountMinor,
      toleranceMinor: 0,
      values: { count: own.length },
    })
  })
}

/** Opening arrears + charges + fines - receipts - relief = closing arrears, to the last minor unit. */
function arrearsDifference(arrears: ReconcileInput['arrears']): Difference[] {
  const { openingMinor, chargesMinor, finesMinor, receiptsMinor, reliefMinor, closingMinor } = arrears
  const expectedMinor = minor(openingMinor + chargesMinor + finesMinor - receiptsMinor - reliefMinor)
  const amountMinor = minor(closingMinor - expectedMinor)
  if (amountMinor === 0) return []
  const rest = { amountMinor, toleranceMinor: 0, values: { expectedMinor, closingMinor } }
  return [difference('arrears-do-not-close', ['relief-without-minute', 'payment-on-another-member'], rest)]
}

/** The errors of the slips are taken as leaning the same way: most come from one meter. */
function volumesOf(slips: readonly PostedSlip[]) {
  const charged = slips.filter((slip) => (slip.postedMinor ?? 0) !== 0)
  const free = slips.filter((slip) => slip.dueMinor === 0 && !slip.postedMinor)
  return {
    deliveredM3: fsum(slips, (slip) => slip.volumeM3),
    deliveredUncertaintyM3: fsum(slips, (slip) => slip.uncertaintyM3),
    chargedM3: fsum(charged, (slip) => slip.volumeM3),
    freeM3: fsum(free, (slip) => slip.volumeM3),
  }
}
