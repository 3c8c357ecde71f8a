import type { FastifyInstance, FastifyRequest } from 'fastify'
import { may as mayDo } from '../../../domain/people/permissions.ts'
import type { Parts } from '../../parts.ts'
import { sendCsv, writeCsv } from '../../web/figures/csv.ts'
import { found } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { type Register, registerRows, registers } from './lists.ts'

/** Out again: every register as a list that other programs open. */
export function addWholeBookRoutes(app: FastifyInstance, { db }: Parts): void {
  const guard = { preHandler: may('book.export') }

  app.get('/book/lists', guard, async (request, reply) => {
    const lists = (await registers(db)).filter((one) => maySee(request, one))
    return page({ request, reply }, 'paper/whole-book/lists', { title: 'abstractions.out.title', lists })
  })

  app.get<{ Params: { table: string } }>('/book/lists/:table', guard, async (request, reply) => {
    const name = request.params.table.replace(/\.csv$/, '')
    const list = found((await registers(db)).find((one) => one.table === name && maySee(request, one)))
    return sendCsv(reply, list.table, writeCsv(await registerRows(db, list.table)))
  })
}

function maySee({ person }: FastifyRequest, { open }: Register): boolean {
  return open || mayDo({ roles: person?.roles ?? [], permission: 'money.see-all' })
}
