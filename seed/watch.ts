import { addDays, datesFromTo, daysBetween } from '../domain/calendar.ts'
import { addChamber, addRefillTest } from '../server/water/chamber/store.ts'
import { addStage } from '../server/water/drought/store.ts'
import { addInspection } from '../server/water/inspection/store.ts'
import { addRainRecord } from '../server/water/outlook/store.ts'
import type { Chance } from './chance.ts'
import { penOf, type Scene, type Works } from './scene.ts'
import { PERSONS } from './valley.ts'

const [CHAIR, SECRETARY] = [PERSONS[0]!.name, PERSONS[1]!.name]
const RAIN_YEARS = 12
/** The rains of the valley fall in the four months before its dry season. */
const WET_DAYS = 120

/** What the group keeps an eye on: old rain years, stages of drought, its chambers and its walls. */
export async function writeWatch(scene: Scene, works: Works, on: string): Promise<void> {
  const years = Array.from({ length: RAIN_YEARS }, (_, back) => Number(on.slice(0, 4)) - RAIN_YEARS + back)
  const rain = years.map((year) => ({ year, rainMm: rainOfYear(scene, scene.chance, year) }))
  await addRainRecord(penOf(scene, SECRETARY, on, '11:00'), {
    source: 'gauge at the school of the valley',
    years: rain,
  })
  await writeStages(scene, works, on)
  await writeChamber(scene, works, on)
  await writeInspections(scene, works, addDays(on, 3))
}

function rainOfYear(scene: Scene, chance: Chance, year: number): number[] {
  const wetness = chance.between(0.65, 1.3)
  return datesFromTo(`${year}-01-01`, `${year}-12-31`).map((date) => {
    const dayOfRains = ((daysBetween(scene.group.seasonStartOn, date) % 365) + 365) % 365
    const isWet = dayOfRains >= 365 - WET_DAYS
    if (!chance.happens(isWet ? 0.32 * wetness : 0.012)) return 0
    return Math.round(-Math.log(1 - chance.next()) * (isWet ? 13 : 9) * 10) / 10
  })
}

async function writeStages(scene: Scene, { weirs }: Works, on: string): Promise<void> {
  const weir = weirs[1]!
  const endCondition = 'the first flood over the crest'
  await addStage(penOf(scene, CHAIR, on, '12:00'), {
    severity: 1,
    name: 'Thin water',
    words: 'Late plantings wait, market plots take three parts of four.',
    weirId: weir.id,
    belowLevelM: 106.3,
    belowCoverDays: null,
    endCondition,
    capByClass: { market: 0.75, late: 0 },
  })
  await addStage(penOf(scene, CHAIR, on, '12:05'), {
    severity: 2,
    name: 'Last water',
    words: 'Only nurseries, perennials and half of the food plots.',
    weirId: weir.id,
    belowLevelM: 105.9,
    belowCoverDays: null,
    endCondition,
    capByClass: { food: 0.5, market: 0, late: 0 },
  })
}

/** A chamber of four and a half cubic metres; the test is that of a pipe half choked with roots. */
async function writeChamber(scene: Scene, { weirs }: Works, on: string): Promise<void> {
  const weirId = weirs[1]!.id
  const pen = () => penOf(scene, CHAIR, on, '13:00')
  const [areaM2, restBelowRimCm] = [1.8, 45]
  await addChamber(pen(), { weirId, fromOn: on, areaM2, depthM: 2.5, rimAboveCrestM: 0.3, stopBelowRimCm: 205 })
  const drawnDownCm = 140
  const readings = [0, 5, 10, 20, 30].map((minutes) => ({
    minutes,
    belowRimCm: Math.round(restBelowRimCm + drawnDownCm * Math.exp(-0.028 * minutes)),
  }))
  await addRefillTest(pen(), { weirId, testedOn: on, areaM2, restBelowRimCm, remark: null, readings })
}

async function writeInspections(scene: Scene, { weirs }: Works, on: string): Promise<void> {
  const inspectorId = scene.persons.get(CHAIR)!
  const look = (
    weir: number,
    line: Pick<Parameters<typeof addInspection>[1], 'part' | 'state' | 'found' | 'toDo'>,
    days: number,
  ) =>
    addInspection(penOf(scene, SECRETARY, on, '16:30'), {
      ...line,
      weirId: weirs[weir - 1]!.id,
      seenOn: on,
      nextOn: addDays(on, days),
      inspectorId,
    })
  await look(1, { part: 'wall', state: 'sound', found: 'dry at the foot, no crack', toDo: null }, 180)
  await look(
    2,
    { part: 'chamber', state: 'watch', found: 'roots in the pipe', toDo: 'clear the pipe from outside' },
    90,
  )
  await look(3, { part: 'apron', state: 'watch', found: 'two stones loose', toDo: 'set them again in mortar' }, 100)
}
