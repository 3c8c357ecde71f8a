import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { findAbstraction, listAbstractions } from '../draw/store.ts'
import { flagWords } from './flags.ts'
import { drawsToJudge, openFlags, settledOf, settleFlag } from './store.ts'

const SettleForm = defineForm('abstractions.settle', { words: text({ max: 300 }) })
type WithFlag = { Params: { id: string; code: string } }

/** Everything odd in the season's log that nobody has settled yet, and the words that settle it. */
export function addFlagRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/flags', { preHandler: may('abstractions.see') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const { locale, format } = request.visit
    const draws = await drawsToJudge(db, group)
    const flags = await openFlags(db, { draws, timeZone: group.timeZone })
    const open = draws
      .toReversed()
      .flatMap((draw) =>
        (flags.get(draw.id) ?? []).map((flag) => ({ draw, code: flag.code, ...flagWords(locale.t, format, flag) })),
      )
    const known = new Set(draws.map(({ id }) => id))
    const settled = (await settledOf(db)).filter(({ subjectId }) => known.has(subjectId))
    return page({ request, reply }, 'abstractions/flags', { title: 'abstractions.flags.title', open, settled })
  })

  app.get<WithFlag>(
    '/abstractions/:id/flags/:code/new',
    { preHandler: may('abstraction.log') },
    async (request, reply) => {
      await openOr404(request.params, request)
      return show(request, reply, emptyForm())
    },
  )

  app.post<WithFlag>(
    '/abstractions/:id/flags/:code',
    { preHandler: may('abstraction.log') },
    async (request, reply) => {
      const { id, code } = request.params
      await openOr404(request.params, request)
      const form = readForm(SettleForm, request.body)
      if (!form.ok) return show(request, reply, form)
      return write(
        { db, request, reply, at: now() },
        (pen) => settleFlag(pen, { subjectId: id, code, words: form.data.words }),
        () => '/log/flags',
      )
    },
  )

  async function openOr404({ id, code }: { id: string; code: string }, request: FastifyRequest) {
    const { onDate } = found(await findAbstraction(db, id))
    const draws = await listAbstractions(db, { fromOn: onDate, toOn: onDate })
    const flags = await openFlags(db, { draws, timeZone: request.visit.group?.timeZone ?? 'UTC' })
    return found(flags.get(id)?.find((flag) => flag.code === code))
  }

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { id, code } = request.params as { id: string; code: string }
    return formPage(
      { request, reply },
      {
        title: 'abstractions.flags.settle-title',
        form: SettleForm,
        filled,
        action: `/log/abstractions/${id}/flags/${code}`,
        back: `/log/abstractions/${id}`,
      },
    )
  }
}
