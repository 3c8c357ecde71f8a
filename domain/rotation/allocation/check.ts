import { sum } from '../../sum.ts'
import { LITRES_PER_M3, type M3, wholeLitres, wholeLitresDown } from '../../units.ts'
import { raisable } from './check-levels.ts'
import type { Allocation, AllocationInput, Claim, Id } from './types.ts'

interface AllocationProblem {
  code:
    | 'claim-missing'
    | 'claim-unknown'
    | 'claim-twice'
    | 'volume-negative'
    | 'part-of-a-litre'
    | 'outlet-not-own'
    | 'outlets-do-not-add-up'
    | 'above-need'
    | 'above-outlet'
    | 'above-tank'
    | 'above-pump'
    | 'above-weir'
    | 'left-does-not-add-up'
    | 'minimum-could-be-raised'
    | 'level-could-be-raised'
  values: Record<string, string | number>
}

/**
 * Judges an allocation from the raw inputs alone; it shares no code with `allocate`. Every limit is added up again in
 * litres; then it tries to give each claim below its need more water, by using what is left, by leading others through
 * other outlets and by taking from those who stand higher, come later or are above their minimum. An allocation is the
 * lexicographic maximum exactly when none of these succeeds (Bertsekas and Gallager, Data Networks, section 6.5).
 * Rounding down leaves at most one litre a claim, and that much is not held against it. An empty list means no fault.
 */
export function checkAllocation({
  input,
  allocation,
}: {
  input: AllocationInput
  allocation: Allocation
}): AllocationProblem[] {
  const problems = [...namingProblems(input, allocation)]
  if (problems.length > 0) return problems
  const given = new Map(allocation.claims.map((claim) => [claim.id, claim]))
  for (const claim of input.claims) problems.push(...claimProblems(claim, given.get(claim.id)!))
  problems.push(...limitProblems(input, allocation))
  if (problems.length > 0) return problems
  return raisable(input, allocation).map(({ id, byLitres, minimum }) => ({
    code: minimum ? 'minimum-could-be-raised' : 'level-could-be-raised',
    values: { claim: id, byM3: byLitres / LITRES_PER_M3 },
  }))
}

function namingProblems(input: AllocationInput, allocation: Allocation): AllocationProblem[] {
  const expected = new Set(input.claims.map(({ id }) => id))
  const found = new Set<Id>()
  const problems: AllocationProblem[] = []
  for (const { id } of allocation.claims) {
    if (!expected.has(id)) problems.push({ code: 'claim-unknown', values: { claim: id } })
    if (found.has(id)) problems.push({ code: 'claim-twice', values: { claim: id } })
    found.add(id)
  }
  for (const id of expected) if (!found.has(id)) problems.push({ code: 'claim-missing', values: { claim: id } })
  return problems
}

function claimProblems(claim: Claim, given: Allocation['claims'][number]): AllocationProblem[] {
  const problems: AllocationProblem[] = []
  const volumes = Object.values(given.byOutletM3)
  const values = { claim: claim.id, allocatedM3: given.allocatedM3 }
  for (const volumeM3 of [given.allocatedM3, ...volumes]) {
    if (!(volumeM3 >= 0)) problems.push({ code: 'volume-negative', values: { claim: claim.id, volumeM3 } })
    else if (!isWholeLitres(volumeM3)) problems.push({ code: 'part-of-a-litre', values: { claim: claim.id, volumeM3 } })
  }
  for (const outlet of Object.keys(given.byOutletM3)) {
    if (!claim.outletIds.includes(outlet))
      problems.push({ code: 'outlet-not-own', values: { claim: claim.id, outlet } })
  }
  if (sumLitres(volumes) !== wholeLitres(given.allocatedM3)) {
    problems.push({
      code: 'outlets-do-not-add-up',
      values: { ...values, byOutletM3: sumLitres(volumes) / LITRES_PER_M3 },
    })
  }
  const mostM3 = Math.min(claim.needM3, claim.requestedM3 ?? claim.needM3)
  if (wholeLitres(given.allocatedM3) > wholeLitresDown(mostM3))
    problems.push({ code: 'above-need', values: { ...values, mostM3 } })
  return problems
}

function limitProblems(input: AllocationInput, { claims, leftM3ByWeir }: Allocation): AllocationProblem[] {
  const problems: AllocationProblem[] = []
  const throughOutlet = totals(claims.flatMap(({ byOutletM3 }) => Object.entries(byOutletM3)))
  const throughPump = totals(
    input.outlets.map(({ id, pumpId }) => [pumpId, throughOutlet.get(id) ?? 0]),
    1,
  )
  const fromWeir = totals(
    input.pumps.map(({ id, weirId }) => [weirId, throughPump.get(id) ?? 0]),
    1,
  )
  const judge = (code: AllocationProblem['code'], id: Id, drawn: number, mostM3: M3) => {
    if (drawn > wholeLitresDown(mostM3)) problems.push({ code, values: { id, drawnM3: drawn / LITRES_PER_M3, mostM3 } })
  }
  for (const { id, weekM3 } of input.outlets) judge('above-outlet', id, throughOutlet.get(id) ?? 0, weekM3)
  for (const { id, weekM3 } of input.tanks ?? []) {
    const fed = input.outlets.filter(({ tankId }) => tankId === id).map((outlet) => throughOutlet.get(outlet.id) ?? 0)
    judge('above-tank', id, sum(fed), weekM3)
  }
  for (const { id, weekM3 } of input.pumps) judge('above-pump', id, throughPump.get(id) ?? 0, weekM3)
  for (const { id, releasableM3 } of input.weirs) {
    const drawn = fromWeir.get(id) ?? 0
    judge('above-weir', id, drawn, releasableM3)
    const leftM3 = leftM3ByWeir[id] ?? Number.NaN
    const gapLitres = Math.abs(leftM3 * LITRES_PER_M3 + drawn - releasableM3 * LITRES_PER_M3)
    if (!(gapLitres < 0.01)) {
      problems.push({ code: 'left-does-not-add-up', values: { id, leftM3, drawnM3: drawn / LITRES_PER_M3 } })
    }
  }
  return problems
}

/** Sums by name, in litres; `perUnit` is how many litres each given figure stands for. */
function totals(entries: readonly (readonly [Id, number])[], perUnit = LITRES_PER_M3): Map<Id, number> {
  const sums = new Map<Id, number>()
  for (const [id, volume] of entries) sums.set(id, (sums.get(id) ?? 0) + Math.round(volume * perUnit))
  return sums
}

function sumLitres(volumesM3: readonly number[]): number {
  return sum(volumesM3, (volumeM3) => wholeLitres(volumeM3))
}

function isWholeLitres(volumeM3: M3): boolean {
  return Math.abs(volumeM3 * LITRES_PER_M3 - wholeLitres(volumeM3)) < 1e-6
}
