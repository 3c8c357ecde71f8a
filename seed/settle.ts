import { addDays } from '../domain/calendar.ts'
import type { Id } from '../domain/id.ts'
import { addCropPlan } from '../server/crops/plan/store.ts'
import { openGroupAccounts, openMemberAccount } from '../server/fees/ledger/account-store.ts'
import { setGroup } from '../server/people/group/store.ts'
import { addPerson, setPassword } from '../server/people/person/store.ts'
import { addPlot, listPlots } from '../server/people/plot/store.ts'
import { addWeir } from '../server/water/sand/description-store.ts'
import { setWaterSetting, setWaterUsers } from '../server/water/users/store.ts'
import { listWeirs } from '../server/water/weir/store.ts'
import { addFlowTest, addOutlet, addPump, listOutlets, listPumps } from '../server/works/pump/store.ts'
import { writeLines } from './lines.ts'
import { setFirstPrice } from './money.ts'
import { writeFirstRule } from './rule.ts'
import { penOf, type Scene, type Works } from './scene.ts'
import { OUTLETS_PER_PUMP, PERSONS, PLANTINGS, PLOT_NAMES, PUMPS, SCHOOL_PLOT, USERS, WEIRS } from './valley.ts'
import { writeWatch } from './watch.ts'

const CHAIR = PERSONS[0]!.name
const HOUSEHOLDS = 28
const PLOTS = 40

/** The days before the season: who, where, with which works, and by which rule. */
export async function settle(scene: Scene, passwordHash: string): Promise<Works> {
  const on = addDays(scene.group.seasonStartOn, -12)
  await writePeople(scene, on, passwordHash)
  await writeWorks(scene, on)
  await writePlots(scene, on)
  await setFirstPrice(scene, on)
  await writeFirstRule(scene, on)
  const works = {
    weirs: await listWeirs(scene.trx),
    pumps: await listPumps(scene.trx, scene.today),
    outlets: await listOutlets(scene.trx, scene.today),
    plots: await listPlots(scene.trx, scene.today),
  }
  await writeLines(scene, works, on)
  await writeWatch(scene, works, on)
  return works
}

async function writePeople(scene: Scene, on: string, passwordHash: string): Promise<void> {
  scene.persons.set(CHAIR, scene.ids.id())
  await setGroup(penOf(scene, CHAIR, on, '08:00'), scene.group, on)
  await openGroupAccounts(penOf(scene, CHAIR, on, '08:01'))
  for (const [at, { name, roles, signInName }] of PERSONS.entries()) {
    const id = scene.persons.get(name) ?? scene.ids.id()
    scene.persons.set(name, id)
    const pen = penOf(scene, CHAIR, on, '08:10')
    const person = { number: at + 1, name, phone: null, roles, signInName: signInName ?? null, passwordHash: null }
    await addPerson(pen, person, on, id)
    // Chosen by each person, so that nobody is asked to change it before looking round.
    if (signInName) await setPassword({ ...pen, writtenBy: id }, id, passwordHash)
    await openMemberAccount(pen, id)
  }
}

async function writeWorks(scene: Scene, on: string): Promise<void> {
  const pen = () => penOf(scene, CHAIR, on, '09:00')
  const { lateRainOn, wetRainMm } = { lateRainOn: addDays(scene.group.seasonEndOn, 21), wetRainMm: 10 }
  await setWaterSetting(pen(), { fromOn: on, lateRainOn, wetRainMm })
  for (const weir of WEIRS) {
    const weirId = await addWeir(pen(), {
      ...weir,
      fromOn: on,
      valleyShape: 'parabola',
      sandType: 'coarse-sand',
      offTakeAboveBedM: 0.5,
      markAboveCrestM: 0.4,
      lossCmPerDay: 0.12,
    })
    await setWaterUsers(pen(), { weirId, fromOn: on, users: USERS[weir.number]! })
    const pump = PUMPS.find((one) => one.weir === weir.number)
    if (pump) await writePump(scene, on, weirId, pump)
  }
}

async function writePump(scene: Scene, on: string, weirId: Id<'weir'>, pump: (typeof PUMPS)[number]): Promise<void> {
  const pen = () => penOf(scene, CHAIR, on, '10:00')
  const pumpId = await addPump(pen(), {
    number: pump.number,
    name: pump.name,
    weirId,
    usualFlowM3PerH: pump.usualFlowM3PerH,
    firstHour: 7,
    lastHour: 17,
    sunThresholdWPerM2: 220,
    meterDigits: 5,
    outletsAtOnce: 1,
    usualDayM3: null,
    fromOn: on,
  })
  for (let place = 1; place <= OUTLETS_PER_PUMP; place++) {
    const number = (pump.number - 1) * OUTLETS_PER_PUMP + place
    const outletId = await addOutlet(pen(), { number, name: `line ${pump.number}, valve ${place}`, pumpId })
    // The further from the pump, the weaker the flow.
    const flowM3PerH = Math.round(pump.usualFlowM3PerH * (1 - 0.035 * place) * 10) / 10
    await addFlowTest(pen(), { outletId, testedOn: on, flowM3PerH })
  }
}

async function writePlots(scene: Scene, on: string): Promise<void> {
  const outlets = await listOutlets(scene.trx, scene.today)
  const farmers = PERSONS.filter((person) => !person.roles.includes('neighbour')).slice(0, HOUSEHOLDS)
  for (let number = 1; number <= PLOTS; number++) {
    const planting = PLANTINGS[(number * 5) % PLANTINGS.length]!
    const areaM2 = Math.round((1.05 * planting.areaM2 * scene.chance.between(0.8, 1.25)) / 10) * 10
    const pen = () => penOf(scene, CHAIR, on, '14:00')
    const holder = farmers[(number - 1) % farmers.length]!.name
    const plotId = await addPlot(pen(), {
      number,
      name: number === SCHOOL_PLOT ? 'school garden' : PLOT_NAMES[number % PLOT_NAMES.length]!,
      areaM2: Math.round(areaM2 * 1.2),
      soil: number % 3 === 0 ? 'loamy_sand' : 'sandy_loam',
      method: planting.method,
      shares: 1,
      outletIds: [outlets[(number - 1) % outlets.length]!.id],
      fromOn: on,
      holderIds: [scene.persons.get(holder)!],
    })
    const sownOn = addDays(scene.group.seasonStartOn, Math.round(scene.chance.between(-6, 62)))
    await addCropPlan(pen(), { plotId, cropKey: planting.cropKey, areaM2, sownOn })
  }
}
