import { isCalendarDate } from '../../calendar.ts'
import { InputError } from '../../input-error.ts'
import { wholeLitres } from '../../units.ts'
import type { ClosedHours, TimetableInput, TimetableRules } from './types.ts'

/** Refuses a week that cannot be meant, with a code and the values for the page. */
export function checkTimetableInput(input: TimetableInput): void {
  checkDays(input.week)
  checkRules(input.rules)
  checkNetwork(input)
  checkTanks(input)
  checkAllocations(input)
  for (const closure of [...input.unavailable, ...input.allocations.flatMap(({ canNot }) => canNot ?? [])])
    checkHours(closure)
}

function checkDays({ days, startOn }: TimetableInput['week']): void {
  if (days.length === 0) throw new InputError('week-without-days', { startOn })
  for (const day of days) if (!isCalendarDate(day)) throw new InputError('date-unknown', { date: day })
  if (days.some((day, index) => day < startOn || (index > 0 && day <= days[index - 1]!)))
    throw new InputError('week-days-out-of-order', { startOn })
}

function checkRules({ minTurnMinutes, maxTurnMinutes, changeoverMinutes, gridMinutes = 5 }: TimetableRules): void {
  const whole = [minTurnMinutes, maxTurnMinutes ?? 1, changeoverMinutes, gridMinutes].every(Number.isInteger)
  if (!whole || minTurnMinutes < 1 || changeoverMinutes < 0 || gridMinutes < 1)
    throw new InputError('turn-minutes-impossible', { minTurnMinutes, changeoverMinutes, gridMinutes })
  if (maxTurnMinutes !== undefined && maxTurnMinutes < minTurnMinutes)
    throw new InputError('longest-turn-below-shortest', { minTurnMinutes, maxTurnMinutes })
}

function checkNetwork({ pumps, outlets, together = [] }: TimetableInput): void {
  const pumpIds = onlyOnce(
    'pump',
    pumps.map(({ id }) => id),
  )
  onlyOnce(
    'outlet',
    outlets.map(({ id }) => id),
  )
  for (const { id, pumpId, flowM3PerH, fillingMinutes = 0 } of outlets) {
    if (!pumpIds.has(pumpId)) throw new InputError('outlet-without-pump', { outletId: id, pumpId })
    if (!Number.isInteger(fillingMinutes) || fillingMinutes < 0)
      throw new InputError('filling-minutes-impossible', { outletId: id, fillingMinutes })
    if (!isAmount(flowM3PerH)) throw new InputError('outlet-flow-impossible', { outletId: id, flowM3PerH })
  }
  for (const { id, flowM3PerHByDay } of pumps)
    for (const [on, flows] of Object.entries(flowM3PerHByDay))
      if (flows.length !== 24 || !flows.every(isAmount))
        throw new InputError('pump-flow-impossible', { pumpId: id, on })
  for (const { pumpId, atMost } of together)
    if (!Number.isInteger(atMost) || atMost < 1) throw new InputError('outlets-together-impossible', { pumpId, atMost })
}

function checkTanks({ tanks = [], outlets, pumps }: TimetableInput): void {
  const pumpIds = new Set(pumps.map(({ id }) => id))
  onlyOnce(
    'tank',
    tanks.map(({ id }) => id),
  )
  for (const { id, pumpId, capacityM3, floorM3, startM3, gravityHours = [] } of tanks) {
    if (!pumpIds.has(pumpId)) throw new InputError('tank-without-pump', { tankId: id, pumpId })
    if (![capacityM3, floorM3, startM3].every(isAmount) || floorM3 > capacityM3 || startM3 > capacityM3)
      throw new InputError('tank-volumes-impossible', { tankId: id, capacityM3, floorM3, startM3 })
    gravityHours.forEach(checkHours)
  }
  for (const { id, pumpId, tankId } of outlets)
    if (tankId !== undefined && !tanks.some((tank) => tank.id === tankId && tank.pumpId === pumpId))
      throw new InputError('outlet-without-tank', { outletId: id, tankId })
}

function checkAllocations({ allocations, outlets }: TimetableInput): void {
  const outletIds = new Set(outlets.map(({ id }) => id))
  onlyOnce(
    'allocation',
    allocations.map(({ claimId, outletId }) => `${claimId} ${outletId}`),
  )
  for (const { claimId, outletId, volumeM3 } of allocations) {
    if (!outletIds.has(outletId)) throw new InputError('outlet-unknown', { claimId, outletId })
    if (!isAmount(volumeM3)) throw new InputError('volume-impossible', { claimId, volumeM3 })
    if (Math.abs(volumeM3 * 1000 - wholeLitres(volumeM3)) > 1e-6)
      throw new InputError('volume-not-whole-litres', { claimId, volumeM3 })
  }
}

function checkHours({ on, fromHour = 0, toHour = 24 }: ClosedHours): void {
  if (on !== undefined && !isCalendarDate(on)) throw new InputError('date-unknown', { date: on })
  if (!(fromHour >= 0 && fromHour < toHour && toHour <= 24))
    throw new InputError('hours-impossible', { fromHour, toHour })
}

function onlyOnce(kind: string, ids: string[]): Set<string> {
  const seen = new Set<string>()
  for (const id of ids) {
    if (seen.has(id)) throw new InputError('named-twice', { kind, id })
    seen.add(id)
  }
  return seen
}

function isAmount(value: number): boolean {
  return value >= 0 && value < Infinity
}
