import { datesFromTo } from '../../../domain/calendar.ts'
import { seededRandom } from '../../../domain/random.ts'
import { CLASSES_TOGETHER } from '../../../domain/rotation/rule/types.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { CLEAR_DAY } from '../../rotation/timetable/examples.ts'

const DAYS = datesFromTo('2026-03-02', '2026-03-08')
const OUTLETS_A_PUMP = 8

/** A dry week of a group of any size: most plots get less than they need, so that every limit works. */
export function weekOfSize({ plots, weirs, pumps }: { plots: number; weirs: number; pumps: number }): WeekInputs {
  const random = seededRandom(plots)
  const between = (low: number, high: number) => low + random() * (high - low)
  const outlets = pumps * OUTLETS_A_PUMP
  const plotIds = Array.from({ length: plots }, (_, at) => `plot-${at}`)
  return {
    weekStartOn: DAYS[0]!,
    days: [...DAYS],
    rule: {
      fromOn: '2026-01-01',
      equalWeight: 50,
      areaWeight: 50,
      shareWeight: 0,
      personsWeight: 0,
      needWeight: 0,
      areaCapM2: null,
      admission: 'crop',
      byWeir: {},
      classes: CLASSES_TOGETHER,
      declaredOn: null,
      protectedPlots: [],
      sparePart: 0,
      carryOver: { excusedDays: 0, excusedCapPart: null },
    },
    choice: null,
    drought: null,
    weirs: Array.from({ length: weirs }, (_, at) => ({
      id: `weir-${at}`,
      number: at + 1,
      name: '',
      releasableM3: between(8, 14) * (plots / weirs),
      drinkingM3: 10,
      working: null,
      cannotSay: [],
    })),
    pumps: Array.from({ length: pumps }, (_, at) => ({
      id: `pump-${at}`,
      number: at + 1,
      name: '',
      weirId: `weir-${at % weirs}`,
      outletsAtOnce: 2,
      flowM3PerHByDay: Object.fromEntries(
        DAYS.map((day) => [day, CLEAR_DAY.map((flow) => flow * 2 * between(0.8, 1))]),
      ),
    })),
    outlets: Array.from({ length: outlets }, (_, at) => ({
      id: `outlet-${at}`,
      number: at + 1,
      name: '',
      pumpId: `pump-${at % pumps}`,
      flowM3PerH: between(2, 5),
    })),
    plots: plotIds.map((id, at) => ({
      id,
      number: at + 1,
      name: '',
      holders: [],
      areaM2: Math.round(between(100, 400)),
      shares: 1,
      persons: 5,
      outletIds:
        random() < 0.2 ? [`outlet-${at % outlets}`, `outlet-${(at + 1) % outlets}`] : [`outlet-${at % outlets}`],
    })),
    claims: plotIds.map((plotId) => {
      const needM3 = Math.round(between(8, 20) * 1000) / 1000
      return {
        plotId,
        needM3: { low: needM3 * 0.8, likely: needM3, high: needM3 * 1.2 },
        requestedM3: null,
        latestOn: random() < 0.5 ? DAYS[Math.floor(random() * DAYS.length)]! : null,
        parts: [{ class: 'food', needM3, stageRank: null }],
      }
    }),
    notAdmitted: [],
    closures: [{ on: DAYS[6]!, pumpId: null, words: 'rest day' }],
    pastWeeks: Array.from({ length: 8 }, (_, back) => ({
      weekStartOn: `2026-0${back < 4 ? 2 : 1}-0${(back % 4) + 1}`,
      entitledM3: Object.fromEntries(plotIds.map((id) => [id, between(5, 9)])),
    })),
    receivedM3: Object.fromEntries(plotIds.map((id) => [id, between(30, 75)])),
    carryOverM3: {},
  }
}
