import loadHighs from 'highs'
import type { AllocationInput, Claim } from '../../../domain/rotation/allocation/types.ts'

/**
 * The same allocation by another road: a sequence of linear programmes solved by HiGHS. In each, the common level t of
 * the claims that are still rising is made as large as possible; a claim whose row has a price (a dual value) cannot
 * rise beyond t in any solution and is fixed there. It knows nothing of the code under test.
 */
export type Solver = Awaited<ReturnType<typeof openSolver>>

export async function openSolver() {
  return await (loadHighs as unknown as typeof loadHighs.default)()
}

export function allocateByProgrammes(highs: Solver, input: AllocationInput): Record<string, number> {
  const given: Record<string, number> = Object.fromEntries(input.claims.map(({ id }) => [id, 0]))
  const tiers = [...new Set(input.claims.map(({ tier }) => tier))].sort((a, b) => a - b)
  for (const tier of tiers) {
    raise(highs, input, given, tier, (claim) => {
      const minimumM3 = claim.minimumM3 ?? 0
      return { ceiling: Math.min(minimumM3, claim.needM3), weight: minimumM3, received: 0 }
    })
  }
  for (const tier of tiers) {
    raise(highs, input, given, tier, ({ needM3, entitledM3, receivedM3 }) => ({
      ceiling: needM3,
      weight: entitledM3 > 0 ? entitledM3 : needM3,
      received: receivedM3,
    }))
  }
  return given
}

interface Aim {
  ceiling: number
  weight: number
  received: number
}

function raise(
  highs: Solver,
  input: AllocationInput,
  given: Record<string, number>,
  tier: number,
  aimOf: (claim: Claim) => Aim,
): void {
  const rising = new Map<string, Aim>()
  for (const claim of input.claims) {
    const aim = aimOf(claim)
    if (claim.tier === tier && aim.ceiling > given[claim.id]!) rising.set(claim.id, aim)
  }
  const floors = { ...given }
  while (rising.size > 0) {
    const { level, priced } = highestLevel(highs, input, floors, rising)
    if (priced.length === 0) throw new Error('no claim holds the level: the programme tells nothing')
    for (const id of priced) {
      const { ceiling, weight, received } = rising.get(id)!
      rising.delete(id)
      given[id] = Math.min(ceiling, Math.max(given[id]!, level * weight - received))
      floors[id] = given[id]!
    }
  }
}

/** Maximise t with amount + received >= t x weight for the rising; the others keep what they have. */
function highestLevel(
  highs: Solver,
  input: AllocationInput,
  floors: Record<string, number>,
  rising: ReadonlyMap<string, Aim>,
): { level: number; priced: string[] } {
  const amount = (id: string) => (claimWays.get(id)!.length > 0 ? claimWays.get(id)!.join(' + ') : '0 t')
  const claimWays = new Map(
    input.claims.map(({ id, outletIds }) => [id, [...new Set(outletIds)].map((o) => `${id}_${o}`)]),
  )
  const rows: string[] = []
  for (const { id } of input.claims) {
    const aim = rising.get(id)
    rows.push(`lo_${id}: ${amount(id)} >= ${Math.max(0, floors[id]! - 1e-9)}`)
    if (!aim) continue
    rows.push(`hi_${id}: ${amount(id)} <= ${aim.ceiling}`)
    rows.push(`up_${id}: ${amount(id)} - ${aim.weight} t >= ${-aim.received}`)
  }
  const through = (outletIds: ReadonlySet<string>) =>
    input.claims.flatMap(({ id, outletIds: own }) =>
      [...new Set(own)].filter((o) => outletIds.has(o)).map((o) => `${id}_${o}`),
    )
  const limit = (name: string, ways: string[], most: number) => {
    if (ways.length > 0) rows.push(`${name}: ${ways.join(' + ')} <= ${most}`)
  }
  for (const { id, weekM3 } of input.outlets) limit(`outlet_${id}`, through(new Set([id])), weekM3)
  const outletsOfPump = (pumpId: string) => input.outlets.filter((o) => o.pumpId === pumpId).map(({ id }) => id)
  for (const { id, weekM3 } of input.pumps) limit(`pump_${id}`, through(new Set(outletsOfPump(id))), weekM3)
  for (const { id, releasableM3 } of input.weirs) {
    const pumpIds = input.pumps.filter((pump) => pump.weirId === id).map((pump) => pump.id)
    limit(`weir_${id}`, through(new Set(pumpIds.flatMap(outletsOfPump))), releasableM3)
  }
  const result = highs.solve(`Maximize\n obj: t\nSubject To\n${rows.join('\n')}\nBounds\n t free\nEnd`, {
    output_flag: false,
    presolve: 'off',
  })
  if (result.Status !== 'Optimal') throw new Error(`programme ended as ${result.Status}`)
  const priced: string[] = []
  const solved = result.Rows as { Name: string; Dual: number }[]
  for (const { Name, Dual } of solved) {
    if (Name.startsWith('up_') && Math.abs(Dual) > 1e-10) priced.push(Name.slice(3))
  }
  return { level: result.ObjectiveValue, priced }
}
