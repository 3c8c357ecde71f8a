import { measuredVolumeM3 } from '../domain/abstractions/draw/measured-volume.ts'
import { weekdayOf } from '../domain/calendar.ts'
import { addAbstraction } from '../server/abstractions/draw/store.ts'
import { appendEntry } from '../server/book/entries.ts'
import { penOf, type Scene, type Works } from './scene.ts'
import { PUMPS, TANK, USERS } from './valley.ts'

/** What the attendants carry from day to day beside the log: the meters, the tank and the books of slips. */
export class WorksBooks {
  readonly meters = new Map<number, number>(PUMPS.map((pump) => [pump.number, pump.meterStartsAtM3]))
  private readonly slips = new Map<number, number>(PUMPS.map((pump) => [pump.number, pump.number * 1000]))
  private readonly scene: Scene
  private readonly works: Works
  private readonly attendant: string
  tankId = ''
  private contentM3 = TANK.startsWithM3

  constructor(scene: Scene, works: Works, attendant: string) {
    this.scene = scene
    this.works = works
    this.attendant = attendant
  }

  /** The tank is described and a numbered book of slips begun for each pump. */
  async begin(on: string): Promise<void> {
    const pen = () => penOf(this.scene, this.attendant, on, '17:20')
    const { number, name, areaM2, heightM } = TANK
    const row = { number, name, pumpId: this.pumpId(TANK.pump), areaM2, heightM }
    this.tankId = await appendEntry(pen(), { kind: 'tank' }, { tank: [row] })
    for (const pump of PUMPS) {
      const first = pump.number * 1000
      const book = { pumpId: this.pumpId(pump.number), fromOn: on, firstNo: first + 1, lastNo: first + 900 }
      await appendEntry(pen(), { kind: 'slip-book' }, { slipBook: [book] })
    }
  }

  nextSlip(pumpNumber: number): number {
    const number = this.slips.get(pumpNumber)! + 1
    this.slips.set(pumpNumber, number)
    return number
  }

  /** Before the pumps start: every meter, to a tenth, and the tank. */
  async atDawn(on: string): Promise<void> {
    for (const pump of PUMPS) {
      const meter = Math.round(this.meters.get(pump.number)! * 10) / 10
      const reading = { pumpId: this.pumpId(pump.number), onDate: on, atTime: '06:15', moment: 'dawn' }
      const row = { ...reading, meterM3: meter, hourMeterH: null, remark: null }
      const head = { kind: 'pump-day-reading', happenedAt: `${on}T06:15:00.000Z` }
      await appendEntry(penOf(this.scene, this.attendant, on, '06:20'), head, { pumpDayReading: [row] })
    }
    await this.readTank(on, 'dawn', '06:00')
  }

  /** The tank is filled when the turns are over, often enough to last; people and animals drink from it. */
  async atDusk(on: string): Promise<void> {
    const day = { stand: this.jerrycans('person'), trough: this.jerrycans('donkey') }
    const usedM3 = (day.stand + day.trough) / 50
    const daysToLast = [0, 2, 0, 2, 0, 3, 0, 0][weekdayOf(on)]!
    const filledM3 = Math.round(usedM3 * daysToLast * 100) / 100
    this.meters.set(TANK.pump, Math.round((this.meters.get(TANK.pump)! + filledM3) * 100) / 100)
    this.contentM3 += filledM3 - usedM3
    await this.readTank(on, 'dusk', '18:00')
    await this.count(on, 'drinking', day.stand)
    await this.count(on, 'stock', day.trough)
    const animals = USERS[TANK.pump]!.find(({ kind }) => kind === 'donkey')!.heads
    const row = { tankId: this.tankId, onDate: on, filledM3: filledM3 || null, animals, remark: null }
    const head = { kind: 'tank-day', happenedAt: `${on}T18:00:00.000Z` }
    await appendEntry(penOf(this.scene, this.attendant, on, '18:40'), head, { tankDay: [row] })
  }

  private jerrycans(wanted: string): number {
    const { heads, litresPerHeadDay } = USERS[TANK.pump]!.find(({ kind }) => kind === wanted)!
    return Math.round((heads * litresPerHeadDay) / 20)
  }

  private async readTank(on: string, moment: string, clock: string): Promise<void> {
    const levelM = Math.round((this.contentM3 / TANK.areaM2) * 100) / 100
    const row = { tankId: this.tankId, onDate: on, atTime: clock, moment, levelM }
    const head = { kind: 'tank-reading', happenedAt: `${on}T${clock}:00.000Z` }
    await appendEntry(penOf(this.scene, this.attendant, on, '18:35'), head, { tankReading: [row] })
  }

  private async count(on: string, use: 'drinking' | 'stock', jerrycans: number): Promise<void> {
    const drawn = measuredVolumeM3({ method: 'jerrycans', count: jerrycans })
    await addAbstraction(penOf(this.scene, this.attendant, on, '18:45'), {
      onDate: on,
      use,
      weirId: this.works.pumps.find(({ number }) => number === TANK.pump)!.weirId,
      pumpId: this.pumpId(TANK.pump),
      outletId: null,
      plotId: null,
      turnId: null,
      takerId: null,
      method: 'volume',
      openingM3: null,
      closingM3: null,
      hours: null,
      flowM3PerH: null,
      startTime: null,
      endTime: null,
      volumeM3: drawn.volumeM3!,
      uncertaintyM3: drawn.uncertaintyM3!,
      grade: drawn.grade,
      remark: null,
    })
  }

  private pumpId(wanted: number): string {
    return this.works.pumps.find(({ number }) => number === wanted)!.id
  }
}
