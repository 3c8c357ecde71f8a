import { seededRandom } from '../../../domain/random.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { ruleWeek, type TestPlot } from '../rule/week.ts'

/**
 * A random week of one to three weirs with a pump each: weirs may be dry, pumps and outlets narrow, plots served from one or two
 * weirs, with more or less received before; some ask for more than their need or for less, and a stage of drought may hold.
 */
export function randomWeek(seed: number): WeekInputs {
  const random = seededRandom(seed)
  const upTo = (most: number) => Math.round(random() * most * 1000) / 1000
  const chance = (of: number) => random() < of
  const weirIds = ['w1', 'w2', 'w3'].slice(0, 1 + Math.floor(random() * 3))
  const ids = Array.from({ length: 2 + Math.floor(random() * 7) }, (_, at) => `p${at}`)
  const plots: Record<string, TestPlot> = {}
  for (const id of ids) {
    const needM3 = 1 + upTo(30)
    const [own, other] = [...weirIds].sort(() => random() - 0.5)
    plots[id] = {
      needM3,
      areaM2: 50 + upTo(400),
      class: chance(0.5) ? 'food' : 'market',
      ...(chance(0.4) ? { requestedM3: needM3 * (0.3 + random() * 1.5) } : {}),
      outletIds: [own!, ...(other && chance(0.3) ? [other] : [])].map((weirId) => `outlet-${weirId}`),
    }
  }
  const inputs = ruleWeek({
    rule: { equalWeight: 0, areaWeight: 1 },
    plots,
    weirs: Object.fromEntries(weirIds.map((id) => [id, chance(0.2) ? 0 : upTo(90)])),
    drought: chance(0.3) ? { stage: 1, name: 'watch', capByClass: { market: 0.5 } } : null,
    receivedM3: Object.fromEntries(ids.map((id) => [id, upTo(60)])),
    pastWeeks: [{ weekStartOn: '2026-06-01', entitledM3: Object.fromEntries(ids.map((id) => [id, 5 + upTo(60)])) }],
  })
  return {
    ...inputs,
    pumps: inputs.pumps.map((pump) => ({ ...pump, ...flowOf(pump, chance(0.1) ? 0 : 0.3 + upTo(4)) })),
    outlets: inputs.outlets.map((outlet) => ({ ...outlet, flowM3PerH: 0.3 + upTo(4) })),
  }
}

/** The same pump with another flow, in its own hours or all day long. */
export function flowOf(
  { flowM3PerHByDay }: WeekInputs['pumps'][number],
  flowM3PerH: number,
  { isAllDay = false }: { isAllDay?: boolean } = {},
) {
  const days = Object.entries(flowM3PerHByDay).map(
    ([day, hours]) => [day, hours.map((flow) => (flow > 0 || isAllDay ? flowM3PerH : 0))] as const,
  )
  return { flowM3PerHByDay: Object.fromEntries(days) }
}
