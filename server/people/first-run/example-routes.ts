import type { FastifyInstance } from 'fastify'
import { EXAMPLE_NAME, EXAMPLE_TIME_ZONE, loadExample, PASSWORD, SIGN_INS } from '../../../seed/load.ts'
import type { Parts } from '../../parts.ts'
import { PageError } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { localDate } from '../../web/pages/visit.ts'
import { currentGroup } from '../group/store.ts'
import { hashPassword } from '../password.ts'

/** The example valley can be opened only while the book is empty. */
export function addExampleRoutes(app: FastifyInstance, { db, now, hashing }: Parts): void {
  app.post('/example-book', async (_request, reply) => {
    const passwordHash = await hashPassword(PASSWORD, hashing)
    const today = localDate(now(), EXAMPLE_TIME_ZONE)
    if (!(await loadExample(db, { today, passwordHash }))) throw new PageError(409, 'people.group.already-started')
    for (const { signInName, roles } of SIGN_INS) console.log(`Example sign-in: ${signInName} (${roles.join(', ')})`)
    console.log(`Password for all: ${PASSWORD}`)
    return reply.redirect('/example-book', 303)
  })

  app.get('/example-book', async (request, reply) => {
    const isExample = (await currentGroup(db))?.name === EXAMPLE_NAME
    if (!isExample) throw new PageError(404, 'error.page-404')
    return page({ request, reply }, 'people/first-run/example', {
      title: 'people.example.title',
      signIns: SIGN_INS,
      password: PASSWORD,
    })
  })
}
