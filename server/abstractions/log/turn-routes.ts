import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { placeOfOutlet, worksOn } from '../../works/places.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks, type Tank } from '../../works/tank/store.ts'
import { drawForm, readDraw } from '../draw/forms.ts'
import { drawOfInput } from '../draw/input.ts'
import { flowAt } from '../draw/measuring.ts'
import { lastClosing } from '../draw/meter-store.ts'
import { drawPage, methodOf } from '../draw/pages.ts'
import { addAbstraction } from '../draw/store.ts'
import type { Use, Way } from '../draw/types.ts'
import { loggedOfTurn } from './store.ts'
import { findTurn, type PlannedTurn } from './turn-store.ts'

const BY_PUMP_METER: readonly Way[] = ['meter', 'replaced']

type WithTurn = { Params: { id: string }; Querystring: { method?: string } }

/** Logging a turn of the published week. */
export function addTurnLogRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const guard = { preHandler: may('abstraction.log') }

  app.get<WithTurn>('/turns/:id/abstraction/new', guard, async (request, reply) => {
    const turn = found(await findTurn(db, request.params.id))
    const tank = await tankOfTurn(turn)
    const method = wayOf(request.query.method, tank)
    const last = await lastClosing(db, turn.pumpId)
    const holder = (await holdersOf(turn))[0]
    const values = {
      opening: last && !tank ? String(last.closingM3) : '',
      onDate: [turn.onDate, request.visit.today].toSorted()[0]!,
      takerId: holder?.id ?? '',
    }
    return show(request, reply, { turn, method, filled: emptyForm(values) })
  })

  app.post<WithTurn>('/turns/:id/abstraction', guard, async (request, reply) => {
    const turn = found(await findTurn(db, request.params.id))
    const method = wayOf((request.body as Record<string, unknown>).method, await tankOfTurn(turn))
    const form = readDraw(formOf(method), request.body)
    if (!form.ok) return show(request, reply, { turn, method, filled: form })
    const works = await worksOn(db, form.data.onDate)
    const outlet = works.outlets.find((one) => one.id === turn.outletId) ?? null
    const read = drawOfInput(form, {
      use: useOf(turn),
      method,
      place: found(placeOfOutlet(works, turn.pumpId, outlet)),
      plotId: turn.plotId,
      plan: turn,
      timeZone: request.visit.group?.timeZone ?? 'UTC',
      today: request.visit.today,
      at: now(),
    })
    if (!read.ok) return show(request, reply, { turn, method, filled: read.form })
    return write(
      { db, request, reply, at: now() },
      (pen) => addAbstraction(pen, read.drawn, read.head),
      (id) => `/log/abstractions/${id}`,
    )
  })

  interface Shown {
    turn: PlannedTurn
    method: Way
    filled: Filled
  }

  async function show(request: FastifyRequest, reply: FastifyReply, { turn, method, filled }: Shown) {
    const { t } = request.visit.locale
    const { notes, facts } = await beforehand(request, turn, method)
    const tank = await tankOfTurn(turn)
    if (tank) notes.unshift(t('gravity.log-how', { number: tank.number, name: tank.name }))
    return drawPage(db, request, reply, {
      title: turn.plotNumber === null ? 'abstractions.turn.title-open' : 'abstractions.turn.title',
      titleValues: { plot: turn.plotNumber ?? '', outlet: turn.outletNumber },
      form: formOf(method),
      filled,
      method,
      without: tank ? BY_PUMP_METER : [],
      action: `/log/turns/${turn.id}/abstraction`,
      self: `/log/turns/${turn.id}/abstraction/new`,
      facts: facts.map(([key, value]) => [t(key), value]),
      notes,
      back: `/log?on=${turn.onDate}`,
    })
  }

  /** The turn as planned, who holds the plot, and the figure that the method starts from. */
  async function beforehand(request: FastifyRequest, turn: PlannedTurn, method: Way) {
    const { t } = request.visit.locale
    const { format: f } = request.visit
    const window = `${f.clock(turn.startMinute)}–${f.clock(turn.endMinute)}`
    const facts: [string, string][] = [
      [
        'abstractions.turn.planned',
        t('abstractions.turn.plan', { day: f.weekday(turn.onDate), window, volume: f.volume(turn.volumeM3) }),
      ],
    ]
    const holders = await holdersOf(turn)
    if (holders.length) facts.push(['abstractions.turn.holders', holders.map((holder) => holder.name).join(', ')])
    if (method === 'meter') facts.push(['abstractions.meter.last', await lastWords(request, turn.pumpId)])
    if (method === 'hours') facts.push(['abstractions.flow.tested', await flowWords(request, turn)])
    const logged = await loggedOfTurn(db, turn.id)
    const notes = logged.length ? [t('abstractions.turn.already', { count: logged.length })] : []
    return { facts, notes }
  }

  async function lastWords(request: FastifyRequest, pumpId: string): Promise<string> {
    const { locale, format } = request.visit
    const last = await lastClosing(db, pumpId)
    if (!last) return locale.t('abstractions.meter.none')
    return locale.t('abstractions.meter.last-line', {
      reading: format.toLitre(last.closingM3),
      date: format.date(last.onDate),
    })
  }

  async function flowWords(request: FastifyRequest, turn: PlannedTurn): Promise<string> {
    const { locale, format } = request.visit
    const works = await worksOn(db, request.visit.today)
    const outlet = works.outlets.find((one) => one.id === turn.outletId)
    const flow = outlet ? flowAt({ weirId: '', pump: null, outlet }) : null
    if (flow === null || !outlet?.testedOn) return locale.t('abstractions.flow.none')
    return locale.t('abstractions.flow.line', { flow: format.two(flow), date: format.date(outlet.testedOn) })
  }

  /** The tank that the turn draws from by gravity; undefined for a turn straight from the pump. */
  async function tankOfTurn(turn: PlannedTurn): Promise<Tank | undefined> {
    const hangs = (await tankOutletsOn(db, turn.onDate)).get(turn.outletId)
    return hangs && (await listTanks(db)).find((tank) => tank.id === hangs.tankId)
  }

  async function holdersOf(turn: PlannedTurn) {
    const plot = (await listPlots(db, turn.onDate)).find((one) => one.id === turn.plotId)
    return plot?.holders ?? []
  }
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
