import { addDays } from '../../../domain/calendar.ts'
import { penOf, type Scene, type Works } from '../../../seed/scene.ts'
import { PLANTINGS, PLOT_NAMES, USERS, WEIRS } from '../../../seed/valley.ts'
import { addCropPlan } from '../../../server/crops/plan/store.ts'
import { openMemberAccount } from '../../../server/fees/ledger/account-store.ts'
import { addPerson } from '../../../server/people/person/store.ts'
import { addPlot, listPlots } from '../../../server/people/plot/store.ts'
import { setLinePosition } from '../../../server/rotation/constraint/line-store.ts'
import { addWeir } from '../../../server/water/sand/description-store.ts'
import { setWaterUsers } from '../../../server/water/users/store.ts'
import { listWeirs } from '../../../server/water/weir/store.ts'
import { addFlowTest, addOutlet, addPump, listOutlets, listPumps } from '../../../server/works/pump/store.ts'

/** As many households, plots, pumps and outlets to one more weir as the example valley has altogether. */
const OF_A_WEIR = { households: 28, plots: 40, pumps: 3, outletsOfPump: 8 }
export const WRITER = 'Amaru Tolle'
const FLOW_M3_PER_H = 6

/** The example valley with more weirs below it, until it holds so many households. */
export async function widen(scene: Scene, works: Works, households: number): Promise<Works> {
  const on = addDays(scene.group.seasonStartOn, -10)
  for (let more = OF_A_WEIR.households; more < households; more += OF_A_WEIR.households) {
    const part = Math.min(OF_A_WEIR.households, households - more)
    const outletIds = await addOneWeir(scene, on, more / OF_A_WEIR.households)
    await addHouseholds(scene, on, { first: more + 3, count: part, outletIds })
  }
  if (households <= OF_A_WEIR.households) return works
  return {
    weirs: await listWeirs(scene.trx),
    pumps: await listPumps(scene.trx, scene.today),
    outlets: await listOutlets(scene.trx, scene.today),
    plots: await listPlots(scene.trx, scene.today),
  }
}

async function addOneWeir(scene: Scene, fromOn: string, more: number): Promise<string[]> {
  const pen = () => penOf(scene, WRITER, fromOn, '09:00')
  const last = WEIRS.at(-1)!
  const weirId = await addWeir(pen(), {
    ...last,
    number: last.number + more,
    name: `Reach ${more}`,
    distanceM: last.distanceM + 700 * more,
    crestLevelM: last.crestLevelM - 4 * more,
    fromOn,
    valleyShape: 'parabola',
    sandType: 'coarse-sand',
    offTakeAboveBedM: 0.5,
    markAboveCrestM: 0.4,
    lossCmPerDay: 0.12,
  })
  await setWaterUsers(pen(), { weirId, fromOn, users: USERS[last.number]! })
  const outletIds: string[] = []
  for (let pump = 1; pump <= OF_A_WEIR.pumps; pump++) {
    const number = more * OF_A_WEIR.pumps + pump
    const pumpId = await addPump(pen(), {
      number,
      name: `Pump ${number}`,
      weirId,
      usualFlowM3PerH: FLOW_M3_PER_H,
      firstHour: 7,
      lastHour: 17,
      sunThresholdWPerM2: 220,
      meterDigits: 5,
      outletsAtOnce: 1,
      usualDayM3: null,
      fromOn,
    })
    for (let place = 1; place <= OF_A_WEIR.outletsOfPump; place++) {
      const outlet = {
        number: (number - 1) * OF_A_WEIR.outletsOfPump + place,
        name: `valve ${number}.${place}`,
        pumpId,
      }
      const outletId = await addOutlet(pen(), outlet)
      await addFlowTest(pen(), { outletId, testedOn: fromOn, flowM3PerH: FLOW_M3_PER_H - place / 5 })
      outletIds.push(outletId)
    }
  }
  return outletIds
}

interface Households {
  /** The number of the first person. */
  first: number
  count: number
  outletIds: readonly string[]
}

async function addHouseholds(scene: Scene, on: string, { first, count, outletIds }: Households): Promise<void> {
  const pen = () => penOf(scene, WRITER, on, '14:00')
  const holders: string[] = []
  for (let at = 0; at < count; at++) {
    const person = { number: first + at, name: `Member ${first + at}`, phone: null, roles: ['member'] }
    const id = await addPerson(pen(), { ...person, signInName: null, passwordHash: null }, on, scene.ids.id())
    await openMemberAccount(pen(), id)
    holders.push(id)
  }
  const already = (await listPlots(scene.trx, scene.today)).length
  const plots = Math.round((OF_A_WEIR.plots * count) / OF_A_WEIR.households)
  for (let at = 0; at < plots; at++) {
    const number = already + at + 1
    const planting = PLANTINGS[(number * 5) % PLANTINGS.length]!
    const areaM2 = Math.round((planting.areaM2 * scene.chance.between(0.8, 1.25)) / 10) * 10
    const plotId = await addPlot(pen(), {
      number,
      name: PLOT_NAMES[number % PLOT_NAMES.length]!,
      areaM2: Math.round(areaM2 * 1.2),
      soil: 'sandy_loam',
      method: planting.method,
      shares: 1,
      outletIds: [outletIds[at % outletIds.length]!],
      fromOn: on,
      holderIds: [holders[at % holders.length]!],
    })
    const sownOn = addDays(scene.group.seasonStartOn, Math.round(scene.chance.between(-6, 62)))
    await addCropPlan(pen(), { plotId, cropKey: planting.cropKey, areaM2, sownOn })
    const position = (at % OF_A_WEIR.outletsOfPump) + 1
    await setLinePosition(pen(), { plotId, fromOn: on, position })
  }
}
