import loadHighs, { type Highs, type Model } from 'highs'
import type { AllocationInput } from '../../../domain/rotation/allocation/types.ts'

/** What the linear programmes need to know of a network; one tier and no minimums, to keep them as small as can be. */
export type Network = AllocationInput

export async function openHighs(): Promise<Highs> {
  return await (loadHighs as unknown as typeof loadHighs.default)()
}

/**
 * The levels by linear programmes, as kindly to the solver as possible: its model is built once, each step only
 * changes bounds, and every run starts from the basis of the one before.
 */
export function levelsByHighs(highs: Highs, network: Network): Map<string, number> {
  const model = highs.createModel(modelOf(highs, network))
  try {
    model.options.set({ output_flag: false })
    return raiseAll(highs, model, network)
  } finally {
    model.dispose()
  }
}

/** Less than the solver's own tolerance would let rounding make a programme impossible. */
const SLACK_M3 = 1e-6

const weightOf = ({ needM3, entitledM3 }: Network['claims'][number]) => (entitledM3 > 0 ? entitledM3 : needM3)

/** Rows: what each claim gets, how far it is above the common level, then every outlet, pump and weir. */
function modelOf(highs: Highs, { weirs, pumps, outlets, claims }: Network) {
  const ways = claims.flatMap(({ outletIds }, claim) =>
    [...new Set(outletIds)].map((outletId) => ({ claim, outletId })),
  )
  const level = ways.length
  const pumpOf = new Map(outlets.map(({ id, pumpId }) => [id, pumpId]))
  const weirOf = new Map(pumps.map(({ id, weirId }) => [id, weirId]))
  const firsts = { outlet: 2 * claims.length, pump: 0, weir: 0 }
  firsts.pump = firsts.outlet + outlets.length
  firsts.weir = firsts.pump + pumps.length
  const rowOf = new Map([
    ...outlets.map(({ id }, at): [string, number] => [`outlet ${id}`, firsts.outlet + at]),
    ...pumps.map(({ id }, at): [string, number] => [`pump ${id}`, firsts.pump + at]),
    ...weirs.map(({ id }, at): [string, number] => [`weir ${id}`, firsts.weir + at]),
  ])
  const starts = [0]
  const indices: number[] = []
  const values: number[] = []
  for (const { claim, outletId } of ways) {
    const pumpId = pumpOf.get(outletId)!
    const limits = [`outlet ${outletId}`, `pump ${pumpId}`, `weir ${weirOf.get(pumpId)}`].map(
      (name) => rowOf.get(name)!,
    )
    indices.push(claim, claims.length + claim, ...limits)
    values.push(1, 1, 1, 1, 1)
    starts.push(indices.length)
  }
  for (const [at, claim] of claims.entries()) {
    indices.push(claims.length + at)
    values.push(-weightOf(claim))
  }
  starts.push(indices.length)
  const numRows = firsts.weir + weirs.length
  const numCols = ways.length + 1
  return {
    numCols,
    numRows,
    sense: highs.constants.objectiveSense.maximize,
    colCost: Array.from({ length: numCols }, (_, at) => (at === level ? 1 : 0)),
    colLower: Array.from({ length: numCols }, (_, at) => (at === level ? -highs.infinity : 0)),
    colUpper: Array.from({ length: numCols }, () => highs.infinity),
    rowLower: [
      ...claims.map(() => 0),
      ...claims.map(({ receivedM3 }) => -receivedM3),
      ...[...outlets, ...pumps, ...weirs].map(() => -highs.infinity),
    ],
    rowUpper: [
      ...claims.map(({ needM3 }) => needM3),
      ...claims.map(() => highs.infinity),
      ...outlets.map(({ weekM3 }) => weekM3),
      ...pumps.map(({ weekM3 }) => weekM3),
      ...weirs.map(({ releasableM3 }) => releasableM3),
    ],
    matrix: { format: 'csc' as const, numRows, numCols, starts, indices, values },
  }
}

function raiseAll(highs: Highs, model: Model, { claims }: Network): Map<string, number> {
  const given = new Map(claims.map(({ id }) => [id, 0]))
  const rising = new Set(claims.keys())
  const hold = (at: number, amountM3: number) => {
    rising.delete(at)
    given.set(claims[at]!.id, amountM3)
    model.changeRowBounds(at, Math.max(0, amountM3 - SLACK_M3), claims[at]!.needM3)
    model.changeRowBounds(claims.length + at, -highs.infinity, highs.infinity)
  }
  for (const [at, claim] of claims.entries()) if (claim.needM3 === 0) hold(at, 0)
  while (rising.size > 0) {
    model.run()
    if (model.getModelStatus() !== highs.constants.modelStatus.optimal)
      throw new Error(`a programme ended with status ${model.getModelStatus()} with ${rising.size} claims rising`)
    const level = model.getObjectiveValue()
    const { rowDual } = model.getSolution()
    const priced = [...rising].filter((at) => Math.abs(rowDual[claims.length + at]!) > 1e-10)
    if (priced.length === 0) throw new Error('no claim holds the level')
    for (const at of priced) {
      const { needM3, receivedM3 } = claims[at]!
      hold(at, Math.min(needM3, Math.max(0, level * weightOf(claims[at]!) - receivedM3)))
    }
  }
  return given
}
