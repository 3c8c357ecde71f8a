import type { CalendarDate } from '../../../domain/calendar.ts'
import { proposeDroughtStage, type StageReading } from '../../../domain/water/drought/stage.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { coverStates } from '../cover/state.ts'
import { listReadings, type Reading } from '../level/store.ts'
import { waterStates } from '../storage/state.ts'
import { type Declaration, inForceOn, listDeclarations, listStages, markOf, type Stage } from './store.ts'

interface SeenReading extends StageReading {
  /** The line of the level book. */
  readingId: string
}

interface DroughtState {
  stages: Stage[]
  declarations: Declaration[]
  inForce: Declaration | null
  proposed: Stage | null
  waitingFor: Stage | null
  /** The last two days with a reading of each weir that a mark looks at, the earlier first. */
  readings: SeenReading[]
}

/** What the last readings call for, beside what people have declared. Nothing is ever applied by itself. */
export function droughtState(db: Database, on: CalendarDate): Promise<DroughtState> {
  return kept(db, 'drought', on, () => readDrought(db, on))
}

async function readDrought(db: Database, on: CalendarDate): Promise<DroughtState> {
  const stages = await listStages(db)
  const declarations = await listDeclarations(db)
  const readings = await lastTwoDays(db, {
    weirIds: [...new Set(stages.map(({ weirId }) => weirId))],
    on,
    needsDays: stages.some(({ belowCoverDays }) => belowCoverDays !== null),
  })
  const { proposed, waitingFor } = proposeDroughtStage({ stages: stages.map(markOf), readings })
  const stageOf = (id: string | undefined) => stages.find((stage) => stage.id === id) ?? null
  return {
    stages,
    declarations,
    inForce: inForceOn(declarations, on),
    proposed: stageOf(proposed?.stageId),
    waitingFor: stageOf(waitingFor?.stageId),
    readings,
  }
}

/** Two sticks of one morning are one reading, so the last of each day counts. */
async function lastTwoDays(
  db: Database,
  { weirIds, on, needsDays }: { weirIds: readonly string[]; on: CalendarDate; needsDays: boolean },
): Promise<SeenReading[]> {
  if (weirIds.length === 0) return []
  const byDay = new Map<string, Reading>()
  // A stage waits for a second reading in any case; one that the second did not bear out calls for nothing.
  const states = await waterStates(db, { on })
  const doubted = new Set(
    states.flatMap((state) => state.doubts.filter((one) => one !== state.doubted).map(({ id }) => id)),
  )
  for (const reading of await listReadings(db, { toOn: on })) {
    if (weirIds.includes(reading.weirId) && !doubted.has(reading.id))
      byDay.set(`${reading.weirId} ${reading.readOn}`, reading)
  }
  const last = weirIds.flatMap((weirId) => [...byDay.values()].filter((one) => one.weirId === weirId).slice(-2))
  const days = needsDays ? [...new Set(last.map(({ readOn }) => readOn))] : []
  const covers = new Map(await Promise.all(days.map(async (day) => [day, await coverDaysOn(db, day)] as const)))
  return last.flatMap((reading) => {
    const { id, weirId, readOn, waterLevelM } = reading
    if (waterLevelM === null) return []
    return [{ readingId: id, weirId, readOn, waterLevelM, coverDays: covers.get(readOn)?.get(weirId) ?? null }]
  })
}

/** Days to the drinking line by the cautious case; a weir without a plan or with something unknown is not there. */
async function coverDaysOn(db: Database, on: CalendarDate): Promise<Map<string, number>> {
  return new Map(
    (await coverStates(db, { on })).flatMap(({ state, cover, plan }) => {
      const days = plan.source === 'none' ? null : (cover?.cautious.daysToDrinkingLine ?? null)
      return days === null ? [] : [[state.weir.id, days] as const]
    }),
  )
}
