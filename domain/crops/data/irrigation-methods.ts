import type { Range } from '../../units.ts'

export type MethodState = 'sound' | 'clogged' | 'windy'

interface IrrigationMethod {
  key: 'drip' | 'sprinkler' | 'surface' | 'hose_or_can'
  name: string
  /** Part of the water brought to the plot that stays in the root zone. */
  efficiency: Range
  efficiencySource: string
  /** The same in the method's usual trouble, where it has one. */
  troubled: { state: MethodState; efficiency: Range; source: string } | null
  /** Part of the ground that a watering wets. */
  wettedFraction: Range
  wettedFractionSource: string
  /** Part of the ground under which roots find water, where it is not all of it. */
  rootedPart?: Range
  status: 'verified' | 'memory' | 'derived' | 'common practice, no source'
}

/**
 * Efficiencies: FAO Irrigation Water Management Training Manual 4 (1989), Annex I, Table 8; FAO-24 (1977), Table 37;
 * Solomon (1988); all from memory. Wetted fractions: FAO-56 (1998), Table 20, verified. What is marked common practice has no source.
 */
const IRRIGATION_METHODS: readonly IrrigationMethod[] = [
  {
    key: 'drip',
    name: 'Drip',
    efficiency: { low: 0.75, likely: 0.85, high: 0.9 },
    efficiencySource:
      'Solomon (1988), point-source emitters 75-90 %; Training Manual 4, Table 8: 90 %. Likely value derived, between the two.',
    troubled: {
      state: 'clogged',
      efficiency: { low: 0.5, likely: 0.65, high: 0.75 },
      source: 'common practice, no source',
    },
    wettedFraction: { low: 0.3, likely: 0.35, high: 0.4 },
    wettedFractionSource: 'FAO-56 (1998), Table 20',
    // A drop spreads wider below the ground than on it: a third to two thirds of it, Keller and Bliesner (1990), from memory.
    rootedPart: { low: 0.33, likely: 0.5, high: 0.67 },
    status: 'memory',
  },
  {
    key: 'sprinkler',
    name: 'Sprinkler',
    efficiency: { low: 0.6, likely: 0.7, high: 0.8 },
    efficiencySource: 'FAO-24 (1977), Table 37: 60 % hot and dry, 70 % moderate, 80 % humid and cool',
    troubled: {
      state: 'windy',
      efficiency: { low: 0.45, likely: 0.55, high: 0.65 },
      source: 'common practice, no source',
    },
    wettedFraction: { low: 1, likely: 1, high: 1 },
    wettedFractionSource: 'FAO-56 (1998), Table 20',
    status: 'memory',
  },
  {
    key: 'surface',
    name: 'Basin, border or furrow',
    efficiency: { low: 0.5, likely: 0.6, high: 0.8 },
    efficiencySource: 'Training Manual 4, Table 8: 60 %; FAO-24 (1977), Table 37: 50-80 % from corrugation to basin',
    troubled: null,
    wettedFraction: { low: 0.3, likely: 0.8, high: 1 },
    wettedFractionSource: 'FAO-56 (1998), Table 20: alternate furrows, every furrow on narrow beds, basins',
    status: 'memory',
  },
  {
    key: 'hose_or_can',
    name: 'Hose or can',
    efficiency: { low: 0.6, likely: 0.7, high: 0.8 },
    efficiencySource: 'common practice, no source',
    troubled: null,
    wettedFraction: { low: 0.3, likely: 0.5, high: 1 },
    wettedFractionSource: 'common practice, no source',
    status: 'common practice, no source',
  },
]

/** The method of the table with that key, null for one that it does not have. */
export function irrigationMethodByKey(key: string): IrrigationMethod | null {
  return IRRIGATION_METHODS.find((method) => method.key === key) ?? null
}

/**
 * Efficiency of a method in its present state, 0 to 1; a state that the method does not know leaves it sound. Of what it
 * brings, the washing part, 0 to 1, is meant to sink through and take salt along: net / (1 - part), FAO-29 rev. 1 (1985),
 * equation 7 (memory). How large a part a ground needs is not reckoned here; the group says it.
 */
export function applicationEfficiency(input: {
  method: IrrigationMethod
  state?: MethodState
  washingPart?: number
}): Range {
  const { method, state = 'sound', washingPart = 0 } = input
  const { low, likely, high } = method.troubled?.state === state ? method.troubled.efficiency : method.efficiency
  const kept = 1 - washingPart
  return { low: kept * low, likely: kept * likely, high: kept * high }
}

/**
 * A hint where a method does not suit a crop, never a refusal: wet leaves spread disease in tomato, and potato ridges
 * like an even shower. Common practice, no source.
 */
export function methodHint(input: { cropKey: string; methodKey: IrrigationMethod['key'] }): string | null {
  if (input.cropKey === 'tomato' && input.methodKey === 'sprinkler') return 'prefers-dry-leaves'
  if (input.cropKey === 'potato' && input.methodKey === 'drip') return 'prefers-sprinkler'
  return null
}
