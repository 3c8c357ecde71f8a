import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { JERRYCANS_PER_M3 } from '../../../domain/units.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, type Typed, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { placeOf, placeValue, worksOn } from '../../works/places.ts'
import { hoursTyped } from '../../works/register/kept-store.ts'
import { drawForm, readDraw } from '../draw/forms.ts'
import { type DrawInput, drawOfInput } from '../draw/input.ts'
import { type DrawMore, moreOf } from '../draw/more-store.ts'
import { drawPage, methodOf } from '../draw/pages.ts'
import { type Abstraction, addAbstraction, findAbstraction, strikeAbstraction } from '../draw/store.ts'
import type { Way } from '../draw/types.ts'
import { findTurn } from '../log/turn-store.ts'
import { placeOfDraw } from '../plausibility/flags.ts'
import { correctionOf } from './store.ts'

type WithEntry = { Params: { id: string }; Querystring: { method?: string } }

/** A correction is a new entry that names the old one; both stay in the book. */
export function addCorrectionRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const guard = { preHandler: may('abstraction.log') }

  app.get<WithEntry>('/abstractions/:id/corrections/new', guard, async (request, reply) => {
    const old = await standingOr409(request)
    const method = methodOf(request.query.method ?? wayOf(old, await moreOfOne(old.id)))
    return show(request, reply, old, method, emptyForm(typedOf(old, await moreOfOne(old.id))))
  })

  app.post<WithEntry>('/abstractions/:id/corrections', guard, async (request, reply) => {
    const old = await standingOr409(request)
    const method = methodOf((request.body as Record<string, unknown>).method)
    const form = readDraw(formOf(old, method), request.body)
    const struck = struckOut(form)
    if (!form.ok && struck === null) return show(request, reply, old, method, form)
    if (struck !== null) {
      return write(
        { db, request, reply, at: now() },
        async (pen) => {
          await mustStand(pen.trx, old.id)
          await strikeAbstraction(pen, { correctsId: old.id, reason: struck })
        },
        () => `/log/abstractions/${old.id}`,
      )
    }
    const read = await corrected(request, old, method, form as Extract<typeof form, { ok: true }>)
    if (!read.ok) return show(request, reply, old, method, read.form)
    const head = { ...read.head, correctsId: old.id, reason: form.data!.reason! }
    return write(
      { db, request, reply, at: now() },
      async (pen) => {
        await mustStand(pen.trx, old.id)
        await addAbstraction(pen, read.drawn, head)
      },
      (id) => `/log/abstractions/${id}`,
    )
  })

  async function moreOfOne(id: string): Promise<DrawMore> {
    return (await moreOf(db, [id])).get(id)!
  }

  async function standingOr409(request: FastifyRequest): Promise<Abstraction> {
    const { id } = request.params as { id: string }
    const drawn = found(await findAbstraction(db, id))
    await mustStand(db, id)
    return drawn
  }

  async function corrected(
    request: FastifyRequest,
    old: Abstraction,
    method: Way,
    form: Extract<ReturnType<typeof readDraw>, { ok: true }>,
  ): Promise<DrawInput> {
    const works = await worksOn(db, form.data.onDate)
    const place = old.turnId === null ? placeOf(works, form.data.place!) : placeOfDraw(works, old)
    if (!place) return { ok: false, form: withError(form, 'place', 'error.choose') }
    const { group, today } = request.visit
    return drawOfInput(form, {
      use: old.use,
      method,
      place,
      plotId: form.data.plotId ?? old.plotId,
      plan: old.turnId === null ? undefined : await findTurn(db, old.turnId),
      timeZone: group?.timeZone ?? 'UTC',
      today,
      at: now(),
      old,
    })
  }

  async function show(request: FastifyRequest, reply: FastifyReply, old: Abstraction, method: Way, filled: Filled) {
    const { locale, format } = request.visit
    const was = locale.t('abstractions.correction.was-line', {
      volume: format.toLitre(old.volumeM3),
      date: format.date(old.onDate),
      writer: old.writerName,
    })
    return drawPage(db, request, reply, {
      title: 'abstractions.correction.title',
      form: formOf(old, method),
      filled,
      method,
      action: `/log/abstractions/${old.id}/corrections`,
      self: `/log/abstractions/${old.id}/corrections/new`,
      facts: [[locale.t('abstractions.correction.was'), was]],
      notes: [locale.t('abstractions.correction.note')],
      submit: 'abstractions.correction.submit',
      back: `/log/abstractions/${old.id}`,
    })
  }
}

/** Asked once more while writing, so that two corrections sent at the same moment do not both count. */
async function mustStand(db: Database, id: string): Promise<void> {
  if (await correctionOf(db, id)) throw new PageError(409, 'abstractions.correction.already')
}

function formOf(old: Abstraction, method: Way) {
  return drawForm({ method, ofTurn: old.turnId !== null, forPlot: old.use === 'irrigation', corrects: true })
}

/** The reason for striking an entry out; its other fields do not matter then. Null when it is to be corrected. */
function struckOut(form: ReturnType<typeof readDraw>): string | null {
  const reason = String(form.values.reason ?? '')
  return form.values.strike && !form.errors.reason ? reason : null
}

/** The form as it stood in the book. */
function typedOf(old: Abstraction, more: DrawMore): Typed {
  const figure = (value: number | null) => (value === null ? '' : String(value))
  return {
    opening: figure(old.openingM3),
    closing: figure(old.closingM3),
    hours: old.hours === null ? '' : hoursTyped(old.hours),
    ...volumeTyped(old),
    place: placeValue(old),
    plotId: old.plotId ?? '',
    startTime: old.startTime ?? '',
    endTime: old.endTime ?? '',
    takerId: old.takerId ?? '',
    onDate: old.onDate,
    remark: old.remark ?? '',
    ...typedMore(more),
  }
}

function typedMore({ sky, standIn, slipNo, events, tool, seconds }: DrawMore): Typed {
  const figure = (value: number | null | undefined) => (value == null ? '' : String(value))
  const rise = tool?.tankRiseM == null ? '' : String(Math.round(tool.tankRiseM * 1e4) / 100)
  return {
    ...{ sky: sky ?? '', standIn: standIn ?? '', slipNo: figure(slipNo), events },
    ...{
      oldLast: figure(tool?.oldLastM3),
      newFirst: figure(tool?.newFirstM3),
      newSerial: tool?.newSerial ?? '',
      newDigits: figure(tool?.newDigits),
    },
    ...{ containerLitres: figure(tool?.containerLitres), tankArea: figure(tool?.tankAreaM2), tankRise: rise },
    ...Object.fromEntries(seconds.map((timing, at) => [`seconds${at + 1}`, String(timing)])),
  }
}

/** The way in which an entry was asked for. */
function wayOf(old: Abstraction, { tool }: DrawMore): Way {
  return old.method === 'meter' && tool?.oldLastM3 != null ? 'replaced' : old.method
}

/** Only jerrycans count as measured, so that is what a measured volume was. */
function volumeTyped({ method, grade, volumeM3 }: Abstraction): Typed {
  const counted = method === 'volume' && grade === 'measured'
  const volume = counted ? volumeM3 * JERRYCANS_PER_M3 : volumeM3
  return { volume: String(Math.round(volume * 1e6) / 1e6), unit: counted ? 'jerrycans' : 'm3' }
}
