import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import { type FoundClash, isJoined, listClashes, settleClash } from '../../book/merge/clash-store.ts'
import type { ClashKind } from '../../book/merge/clashes.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { type ToldEntry, tellEntry } from './words.ts'

const BothStandForm = defineForm('works.both-stand', { words: text({ max: 300 }) })
/** Clashes that tell who paid or owes are shown to those who may see it anyway. */
const OF_MONEY: ClashKind[] = ['same-receipt', 'same-charge']

/** Only draws have an order in which they can be charged and read; of anything else there is just the one and the other. */
function orderOf(entries: readonly ToldEntry[]): 'by-slip' | 'by-writing' | null {
  if (!entries.every(({ isDraw }) => isDraw)) return null
  return entries.every(({ slipNo }) => slipNo !== null) ? 'by-slip' : 'by-writing'
}

type WithClash = { Params: { kind: string; first: string; second: string } }

/** After two books of the group were joined: what both wrote about the same thing, for a person to settle. */
export function addMergedRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const settling = { preHandler: may('abstraction.log') }

  app.get('/merged', { preHandler: may('abstractions.see') }, async (request, reply) => {
    const clashes = await clashesFor(request)
    const told = []
    for (const clash of clashes) {
      const entries = [await tellEntry(db, request, clash.entries[0]), await tellEntry(db, request, clash.entries[1])]
      told.push({ ...clash, entries, order: orderOf(entries), canOpen: entries.some(({ href }) => href !== null) })
    }
    return page({ request, reply }, 'abstractions/merged', {
      title: 'works.merged-title',
      joined: await isJoined(db),
      open: told.filter(({ settled, corrected }) => !settled && !corrected),
      closed: told.filter(({ settled, corrected }) => settled || corrected),
    })
  })

  app.get<WithClash>('/merged/:kind/:first/:second/new', settling, async (request, reply) => {
    await openOr404(request)
    return show(request, reply, emptyForm())
  })

  app.post<WithClash>('/merged/:kind/:first/:second', settling, async (request, reply) => {
    const { kind, entryIds } = await openOr404(request)
    const form = readForm(BothStandForm, request.body)
    if (!form.ok) return show(request, reply, form)
    return write(
      { db, request, reply, at: now() },
      (pen) => settleClash(pen, { kind, entryIds, words: form.data.words }),
      () => '/log/merged',
    )
  })

  async function clashesFor(request: FastifyRequest): Promise<FoundClash[]> {
    const seesMoney = mayDo({ roles: request.person?.roles ?? [], permission: 'closing.see' })
    return (await listClashes(db)).filter(({ kind }) => seesMoney || !OF_MONEY.includes(kind))
  }

  async function openOr404(request: FastifyRequest): Promise<FoundClash> {
    const { kind, first, second } = request.params as WithClash['Params']
    const clash = (await clashesFor(request)).find(
      (one) => one.kind === kind && one.entryIds[0] === first && one.entryIds[1] === second,
    )
    return found(clash && !clash.settled ? clash : undefined)
  }

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { kind, first, second } = request.params as WithClash['Params']
    return formPage(
      { request, reply },
      {
        title: 'works.both-stand-title',
        form: BothStandForm,
        filled,
        action: `/log/merged/${kind}/${first}/${second}`,
        intro: ['works.both-stand-how'],
        back: '/log/merged',
      },
    )
  }
}
