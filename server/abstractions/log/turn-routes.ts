import type { M3 } from '../../../domain/units.ts'
import { othersPayOwn } from '../../book/names/own-matter.ts'
import { write } from '../../book/pen.ts'
import { vesselsOn } from '../../people/measure/store.ts'
import { listPlots } from '../../people/plot/store.ts'
import { findTurn, type PlannedTurn } from '../../rotation/published/listed-store.ts'
import { turnInBook } from '../../rotation/published/turn-store.ts'
import { meteredTurn, stopReadings } from '../../rotation/turn-start/stop-state.ts'
import { startsOf } from '../../rotation/turn-start/store.ts'
import { emptyForm, type Filled, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks, type Tank } from '../../works/tank/store.ts'
import { drawForm, readDraw } from '../draw/forms.ts'
import { drawOfInput, isMetered, withStart } from '../draw/input.ts'
import { flowAt } from '../draw/measuring.ts'
import { lastClosing } from '../draw/meter-store.ts'
import { drawPage, methodOf } from '../draw/pages.ts'
import { addAbstraction } from '../draw/store.ts'
import type { Use, Way } from '../draw/types.ts'
import { placeOfOutlet, worksOn } from '../place/store.ts'
import { doubtOfLast } from '../plausibility/flags.ts'
import { otherwiseOf } from './otherwise.ts'
import { loggedOfTurns } from './store.ts'

const BY_PUMP_METER: readonly Way[] = ['meter', 'replaced']

/** Logging a turn of the published week. */
export function addTurnLogPages({ get, post }: Pages): void {
  get('/log/turns/:id', 'abstraction.log', newTurnDraw)
  post('/log/turns/:id', 'abstraction.log', writeTurnDraw)
}

async function newTurnDraw(desk: Desk<'id'>) {
  const { today } = desk
  const turn = await turnOr404(desk)
  const tank = await tankOfTurn(desk, turn)
  const holder = (await holdersOf(desk, turn))[0]
  const startM3 = (await startsOf(desk.db, [turn.id])).get(turn.id)
  const filled = emptyForm({
    onDate: [turn.onDate, today].toSorted()[0]!,
    takerId: holder?.id ?? '',
    opening: startM3 === undefined ? '' : String(startM3),
  })
  return show(desk, { turn, method: wayOf(desk.query.method, tank), filled })
}

async function writeTurnDraw(desk: Desk<'id'>) {
  const { db, timeZone, today, at } = desk
  const { canLitres } = desk.format
  const turn = await turnOr404(desk)
  const method = wayOf((desk.body as Record<string, unknown>).method, await tankOfTurn(desk, turn))
  const form = readDraw(formOf(method), desk.body)
  if (!form.ok) return show(desk, { turn, method, filled: form })
  const works = await worksOn(db, form.data.onDate)
  const outlet = works.outlets.find((one) => one.id === turn.outletId) ?? null
  const place = found(placeOfOutlet(works, turn.pumpId, outlet))
  const started = await withStart(desk, form, { pumpId: turn.pumpId, method })
  if (!started.ok) return show(desk, { turn, method, filled: started })
  const { plotId } = turn
  const read = drawOfInput(started, {
    use: useOf(turn),
    method,
    place,
    plotId,
    plan: turn,
    timeZone,
    canLitres,
    vessels: await vesselsOn(db, form.data.onDate),
    today,
    at,
  })
  if (!read.ok) return show(desk, { turn, method, filled: read.form })
  if (await othersPayOwn(desk, read.drawn))
    return show(desk, { turn, method, filled: withError(form, 'takerId', 'names.own-matter') })
  return write(
    desk,
    (pen) => addAbstraction(pen, read.drawn, read.head),
    (id) => `/log/lines/drawn/${id}`,
  )
}

async function turnOr404({ db, params }: Desk<'id'>): Promise<PlannedTurn> {
  return found(await findTurn(db, params.id))
}

interface Shown {
  turn: PlannedTurn
  method: Way
  filled: Filled
}

async function show(desk: Desk, { turn, method, filled }: Shown) {
  const { t } = desk
  const tank = await tankOfTurn(desk, turn)
  const logged = await loggedOfTurns(desk.db, [turn.id])
  const booked = await turnInBook(desk.db, turn.id)
  const doubt = isMetered(method) ? await doubtOfLast(desk, turn.pumpId) : null
  return drawPage(desk, {
    title: turn.plotNumber === null ? 'abstractions.turn.title-open' : 'abstractions.turn.title',
    titleValues: { plot: turn.plotNumber ?? '', outlet: turn.outletNumber },
    form: formOf(method),
    filled,
    method,
    without: tank ? BY_PUMP_METER : [],
    action: `/log/turns/${turn.id}`,
    self: `/log/turns/${turn.id}`,
    facts: await beforehand(desk, { turn, booked, method }),
    notes: [
      ...(tank ? [t('tank-turn.log-how', { number: tank.number, name: tank.name })] : []),
      ...(doubt ? [doubt] : []),
      ...(logged.length ? [t('abstractions.turn.already', { count: logged.length })] : []),
    ],
    back: `/log/days/${turn.onDate}`,
    otherwise: await otherwiseOf(desk, turn, booked?.turn),
  })
}

interface Beforehand {
  turn: PlannedTurn
  booked: Awaited<ReturnType<typeof turnInBook>>
  method: Way
}

/** The turn as planned, who holds the plot, and the figure that the method starts from. */
async function beforehand(desk: Desk, { turn, booked, method }: Beforehand): Promise<[string, string][]> {
  const { t, format } = desk
  const window = `${format.clock(turn.startMinute)}–${format.clock(turn.endMinute)}`
  const planned = { day: format.weekday(turn.onDate), window, volume: format.volume(turn.volumeM3) }
  const facts: [string, string][] = [[t('abstractions.turn.planned'), t('abstractions.turn.plan', planned)]]
  const holders = (await holdersOf(desk, turn)).map((holder) => holder.name)
  if (holders.length) facts.push([t('abstractions.turn.holders'), holders.join(', ')])
  const stopM3 = method === 'meter' ? await stopOf(desk, booked) : undefined
  if (stopM3 !== undefined) facts.unshift([t('abstractions.turn.stop-at'), format.toLitre(stopM3)])
  if (method === 'meter') facts.push([t('abstractions.meter.last'), await lastWords(desk, turn)])
  if (method === 'hours') facts.push([t('abstractions.flow.tested'), await flowWords(desk, turn)])
  return facts
}

async function stopOf({ db }: Desk, booked: Beforehand['booked']): Promise<M3 | undefined> {
  if (!booked) return undefined
  const { week, turn } = booked
  const ofDay = week.turns.filter(({ on, droppedBy }) => on === turn.on && !droppedBy)
  return (await stopReadings(db, ofDay.map(meteredTurn))).get(turn.bookId)
}

async function lastWords({ db, t, format }: Desk, { pumpId }: PlannedTurn): Promise<string> {
  const last = await lastClosing(db, pumpId)
  if (!last) return t('abstractions.meter.none')
  const values = { reading: format.toLitre(last.closingM3), date: format.date(last.onDate) }
  return t('abstractions.meter.last-line', values)
}

async function flowWords({ db, today, t, format }: Desk, turn: PlannedTurn): Promise<string> {
  const works = await worksOn(db, today)
  const outlet = works.outlets.find((one) => one.id === turn.outletId)
  const place = placeOfOutlet(works, turn.pumpId, outlet ?? null)
  const flow = place && flowAt(place)
  if (!flow) return t('abstractions.flow.none')
  if (flow.flowErrorFraction === undefined) {
    if (!outlet?.testedOn) return t('abstractions.flow.none')
    return t('abstractions.flow.line', { flow: format.two(flow.flowM3PerH), date: format.date(outlet.testedOn) })
  }
  const [low, high] = [1 - flow.flowErrorFraction, 1 + flow.flowErrorFraction].map((part) => part * flow.flowM3PerH)
  return t('abstractions.flow.bucket', {
    flow: format.two(flow.flowM3PerH),
    low: format.one(low!),
    high: format.one(high!),
    date: format.date(place.bucket!.onDate),
  })
}

/** The tank that the turn draws from by gravity; undefined for a turn straight from the pump. */
async function tankOfTurn({ db }: Desk, turn: PlannedTurn): Promise<Tank | undefined> {
  const hangs = (await tankOutletsOn(db, turn.onDate)).get(turn.outletId)
  return hangs && (await listTanks(db)).find((tank) => tank.id === hangs.tankId)
}

async function holdersOf({ db }: Desk, turn: PlannedTurn) {
  const plot = (await listPlots(db, turn.onDate)).find((one) => one.id === turn.plotId)
  return plot?.holders ?? []
}

/** The pump's meter does not show what comes from a tank. */
function wayOf(asked: unknown, tank: Tank | undefined): Way {
  const way = methodOf(asked)
  return tank && BY_PUMP_METER.includes(way) ? 'hours' : way
}

function formOf(method: Way) {
  return drawForm({ method, ofTurn: true, forPlot: false, corrects: false })
}

/** A turn without a plot fills people's and animals' water. */
function useOf(turn: PlannedTurn): Use {
  return turn.plotId === null ? 'drinking' : 'irrigation'
}
