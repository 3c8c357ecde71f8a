import { pumpLogBook } from '../../abstractions/paper/paper.ts'
import { worksOn } from '../../abstractions/place/store.ts'
import { appendEntry, type Pen } from '../../book/entries.ts'
import type { Database } from '../../database/connection.ts'
import { countOptions, countTyped, type WrittenVolume } from '../../people/measure/volume-state.ts'
import { listPlots } from '../../people/plot/store.ts'
import { type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Option } from '../../web/pages/form-page.ts'
import type { TakenRow, TakeRow } from '../../web/pages/paper-book.ts'
import { localInstant } from '../../web/pages/visit.ts'
import { listTanks, type Tank, tankReadings } from '../../works/tank/store.ts'
import { TankDayForm } from './forms.ts'

type TankData = NonNullable<ReturnType<typeof readForm<typeof TankDayForm.fields>>['data']>

const MOMENTS = [
  { field: 'morning', moment: 'dawn', clock: '06:00' },
  { field: 'evening', moment: 'dusk', clock: '18:00' },
] as const

/** More than any tank takes in a day. The bound is ours. */
const MOST_FILLED_M3 = 100_000

type Filling = Omit<WrittenVolume, 'volumeM3'> & { volumeM3: number | null }

interface Day {
  desk: Desk
  /** Takes what was drawn the same way as a line of the pump log. */
  take: TakeRow
  /** Levels of earlier rows of the same page. */
  read: Set<string>
}

/** The tank and trough sheet, on paper and as the screen sends it: each row as the screen would have taken it. */
export async function tankRows(desk: Desk): Promise<TakeRow> {
  const take = await pumpLogBook.typing.rows(desk)
  const read = new Set<string>()
  return (body) => tankDayOfInput(body, { desk, take, read })
}

/** In what the two volumes of a line can be counted; hours only where an outlet gave the water. */
export async function tankWords(desk: Desk): Promise<{ filledIn: Option[]; letOutIn: Option[] }> {
  const filledIn = await countOptions(desk)
  return { filledIn, letOutIn: [...filledIn, { value: 'hours', label: desk.t('measure.counted-in.hours') }] }
}

/** Reads one line of the sheet; it writes the levels, the draws and the rest as entries of their own, side by side. */
async function tankDayOfInput(body: Record<string, unknown>, day: Day): Promise<TakenRow> {
  const form = readForm(TankDayForm, body)
  if (!form.ok) return { ok: false, form }
  const { data } = form
  const tank = (await listTanks(day.desk.db)).find((one) => one.id === data.tankId)
  if (!tank) return { ok: false, form: withError(form, 'tankId', 'error.choose') }
  const wrong = await troubleOf(form, data, tank, day)
  if (wrong) return { ok: false, form: wrong }
  const draws = await drawsOf(form, data, tank, day)
  if ('errors' in draws) return { ok: false, form: draws }
  const { filled: figure, filledIn: unit, onDate: on } = data
  const lines = { figure, unit, field: 'filled', unitField: 'filledIn', on, mostM3: MOST_FILLED_M3 }
  const filled = await countTyped(day.desk.db, form, { ...lines, usual: 'water in a tank, m3' })
  if ('again' in filled) return { ok: false, form: filled.again }
  for (const { field, moment } of MOMENTS) if (data[field] !== null) day.read.add(`${tank.id} ${data.onDate} ${moment}`)
  return { ok: true, write: (pen) => writeAll(pen, [...levelsOf(data, day), ...draws, ...restOf(data, filled, day)]) }
}

async function troubleOf(
  form: Filled,
  data: TankData,
  tank: Tank,
  { desk: { db, today }, read }: Day,
): Promise<Filled | null> {
  const { onDate, plotId, letOut } = data
  if (onDate > today) return withError(form, 'onDate', 'abstractions.draw.future')
  if (plotId !== null && letOut === null) return withError(form, 'letOut', 'error.missing')
  if (plotId === null && letOut !== null) return withError(form, 'plotId', 'paper.let-out-to')
  const levelsAndCounts = [data.morning, data.evening, data.filled, data.animals]
  // A 0 that was let out or drunk makes no draw, so alone it says nothing.
  const drawn = [letOut, data.stand, data.trough].some((amount) => amount)
  if (!drawn && levelsAndCounts.every((one) => one === null)) return withError(form, 'morning', 'paper.nothing-in-row')
  const known = await tankReadings(db, { fromOn: onDate, toOn: onDate })
  for (const { field, moment } of MOMENTS) {
    const levelCm = data[field]
    if (levelCm === null) continue
    if (levelCm / 100 > tank.heightM) {
      return withError(form, field, 'abstractions.pumps.above-rim', { height: tank.heightM * 100 })
    }
    const stands = known.some((one) => one.tankId === tank.id && one.moment === moment)
    if (stands || read.has(`${tank.id} ${onDate} ${moment}`)) return withError(form, field, 'paper.level-stands')
  }
  return null
}

type Write = (pen: Pen) => Promise<string>

/** What was let out, drunk at the stand and given to animals, each as a draw of the tank's pump. */
async function drawsOf(
  form: Filled,
  data: TankData,
  tank: Tank,
  { desk: { db }, take }: Day,
): Promise<Write[] | Filled> {
  const { onDate, plotId, letOut, letOutIn, stand, trough } = data
  const parts = [
    {
      field: 'letOut',
      amount: letOut,
      use: 'irrigation',
      unit: letOutIn ?? 'm3',
      place: await placeOfPlot(db, data, tank),
    },
    { field: 'stand', amount: stand, use: 'drinking', unit: 'jerrycans', place: `pump:${tank.pumpId}` },
    { field: 'trough', amount: trough, use: 'stock', unit: 'jerrycans', place: `pump:${tank.pumpId}` },
  ]
  const writes: Write[] = []
  for (const { field, amount, use, unit, place } of parts) {
    if (!amount) continue
    const plot = use === 'irrigation' ? plotId : ''
    const taken = await take({ onDate, place, use, plotId: plot, ...amountOf(amount, unit) })
    if (!taken.ok) {
      const { errors } = taken.form
      return withError(form, errors.unit ? 'letOutIn' : field, Object.values(errors)[0]!.key)
    }
    if (taken.write) writes.push(taken.write)
  }
  return writes
}

/** Hours at the outlet are how a line of the log tells a time of running; everything else is counted. */
function amountOf(amount: number, unit: string) {
  return unit === 'hours' ? { hours: String(amount) } : { volume: String(amount), unit }
}

/** The plot's own outlet that hangs on the tank, else its only one at the tank's pump, else the tank itself. */
async function placeOfPlot(db: Database, { plotId, onDate }: TankData, tank: Tank): Promise<string> {
  const plot = (await listPlots(db, onDate)).find((one) => one.id === plotId)
  const { outlets, fed } = await worksOn(db, onDate)
  const own = outlets.filter(({ id, pumpId }) => pumpId === tank.pumpId && plot?.outletIds.includes(id))
  const hanging = own.filter(({ id }) => fed.get(id) === tank.id)
  const [outlet, ...others] = hanging.length ? hanging : own
  return outlet && others.length === 0 ? `outlet:${outlet.id}` : `pump:${tank.pumpId}`
}

function levelsOf(data: TankData, day: Day): Write[] {
  return MOMENTS.flatMap(({ field, moment, clock }): Write[] => {
    const levelCm = data[field]
    if (levelCm === null) return []
    const happenedAt = instantOf(data.onDate, clock, day)
    const row = { tankId: data.tankId, moment, levelM: levelCm / 100, atTime: clock, onDate: data.onDate }
    return [(pen) => appendEntry(pen, { kind: 'tank-reading', happenedAt }, { tankReading: [row] })]
  })
}

function restOf({ tankId, onDate, animals, remark }: TankData, filled: Filling, day: Day): Write[] {
  const { volumeM3: filledM3, typed } = filled
  if (filledM3 === null && animals === null && remark === null) return []
  const row = { tankId, onDate, filledM3, animals, remark }
  return [
    (pen) =>
      appendEntry(pen, { kind: 'tank-day', happenedAt: instantOf(onDate, '18:00', day) }, { tankDay: [row], ...typed }),
  ]
}

/** The hour of the day's line; never later than it is written. */
function instantOf(onDate: string, clock: string, { desk: { timeZone, at } }: Day): string {
  const instant = localInstant(onDate, clock, timeZone)
  return [instant ?? at.toISOString(), at.toISOString()].toSorted()[0]!
}

async function writeAll(pen: Pen, writes: readonly Write[]): Promise<string> {
  const ids: string[] = []
  for (const write of writes) ids.push(await write(pen))
  return ids[0]!
}
