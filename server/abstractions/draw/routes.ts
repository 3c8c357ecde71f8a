import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, withError } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { placeOf, worksOn } from '../../works/places.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks } from '../../works/tank/store.ts'
import { correctionOf } from '../correction/store.ts'
import { findTurn } from '../log/turn-store.ts'
import { flagsOfDraws, flagWords } from '../plausibility/flags.ts'
import { settledOf } from '../plausibility/store.ts'
import { drawForm, readDraw } from './forms.ts'
import { drawOfInput } from './input.ts'
import { moreOf } from './more-store.ts'
import { drawPage, methodOf } from './pages.ts'
import { type Abstraction, addAbstraction, findAbstraction, listAbstractions } from './store.ts'
import { USES, type Use, type Way } from './types.ts'

/** How each use is usually measured; the others are one tap away. */
const USUAL_METHOD: Record<Use, Way> = {
  irrigation: 'meter',
  drinking: 'volume',
  stock: 'volume',
  flushing: 'hours',
  other: 'meter',
}

/** Draws that are no turn of the week: stand, trough, flushing, off the list; and every entry's own page. */
export function addAbstractionRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<{ Querystring: { use?: string; method?: string } }>(
    '/abstractions/new',
    { preHandler: may('abstraction.log') },
    async (request, reply) => {
      const use = useOf(request.query.use)
      const method = methodOf(request.query.method ?? USUAL_METHOD[use])
      return show(request, reply, use, method, emptyForm({ onDate: request.visit.today, unit: 'jerrycans' }))
    },
  )

  app.post('/abstractions', { preHandler: may('abstraction.log') }, async (request, reply) => {
    const body = (request.body ?? {}) as Record<string, unknown>
    const [use, method] = [useOf(body.use), methodOf(body.method)]
    const form = readDraw(formOf(use, method), body)
    if (!form.ok) return show(request, reply, use, method, form)
    const place = placeOf(await worksOn(db, form.data.onDate), form.data.place!)
    if (!place) return show(request, reply, use, method, withError(form, 'place', 'error.choose'))
    const { group, today } = request.visit
    const read = drawOfInput(form, {
      use,
      method,
      place,
      plotId: form.data.plotId ?? null,
      plan: undefined,
      timeZone: group?.timeZone ?? 'UTC',
      today,
      at: now(),
    })
    if (!read.ok) return show(request, reply, use, method, read.form)
    return write(
      { db, request, reply, at: now() },
      (pen) => addAbstraction(pen, read.drawn, read.head),
      (id) => `/log/abstractions/${id}`,
    )
  })

  app.get<{ Params: { id: string } }>(
    '/abstractions/:id',
    { preHandler: may('abstractions.see') },
    async (request, reply) => {
      const drawn = found(await findAbstraction(db, request.params.id))
      const correction = (await correctionOf(db, drawn.id)) ?? null
      const old = drawn.correctsId === null ? null : ((await findAbstraction(db, drawn.correctsId)) ?? null)
      return page({ request, reply }, 'abstractions/draw/entry', {
        title: `abstractions.entry.title-${drawn.use}`,
        titleValues: { plot: drawn.plotNumber ?? '' },
        drawn,
        tank: await tankOf(drawn),
        correction,
        more: (await moreOf(db, [drawn.id])).get(drawn.id),
        old,
        plan: drawn.turnId === null ? null : ((await findTurn(db, drawn.turnId)) ?? null),
        flags: correction ? [] : await flagsOf(request, drawn),
      })
    },
  )

  async function tankOf({ outletId, onDate }: Abstraction) {
    const hangs = outletId === null ? undefined : (await tankOutletsOn(db, onDate)).get(outletId)
    return (hangs && (await listTanks(db)).find((tank) => tank.id === hangs.tankId)) ?? null
  }

  async function flagsOf(request: FastifyRequest, drawn: Abstraction) {
    const { locale, format, group } = request.visit
    const on = drawn.onDate
    const draws = await listAbstractions(db, { fromOn: on, toOn: on })
    const flags = await flagsOfDraws(db, { draws, timeZone: group?.timeZone ?? 'UTC' })
    const settled = await settledOf(db, drawn.id)
    return (flags.get(drawn.id) ?? []).map((flag) => ({
      ...flagWords(locale.t, format, flag),
      code: flag.code,
      settled: settled.find(({ code }) => code === flag.code) ?? null,
    }))
  }

  async function show(request: FastifyRequest, reply: FastifyReply, use: Use, method: Way, filled: Filled) {
    return drawPage(db, request, reply, {
      title: `abstractions.new.title-${use}`,
      form: formOf(use, method),
      filled,
      method,
      action: '/log/abstractions',
      self: `/log/abstractions/new?use=${use}`,
      hidden: { use },
      notes: [request.visit.locale.t(`abstractions.new.note-${use}`)],
      cautions: use === 'drinking' ? ['abstractions.caution-drinking'] : [],
      back: '/log',
    })
  }
}

function formOf(use: Use, method: Way) {
  return drawForm({ method, ofTurn: false, forPlot: use === 'irrigation', corrects: false })
}

function useOf(value: unknown): Use {
  const use = USES.find((one) => one === value)
  if (!use) throw new PageError(404, 'error.page-404')
  return use
}
