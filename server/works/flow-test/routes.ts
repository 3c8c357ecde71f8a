import type { FastifyInstance } from 'fastify'
import { SKIES } from '../../abstractions/draw/more-store.ts'
import type { Database } from '../../database/connection.ts'
import type { Parts } from '../../parts.ts'
import { date, number, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { worksOn } from '../places.ts'
import { type Register, trouble } from '../register/line.ts'
import { addRegister } from '../register/register.ts'
import { bucketTestFacts, retestDueOn, testsByOutlet } from './store.ts'

const seconds = () => number({ min: 0.1, max: 7200 })

export const BucketTestForm = defineForm('abstractions.flow-test', {
  outletId: select(),
  containerLitres: number({ min: 0.1, max: 5000 }),
  seconds1: seconds(),
  seconds2: optional(seconds()),
  seconds3: optional(seconds()),
  seconds4: optional(seconds()),
  pumpState: select(SKIES),
  onDate: date(),
  remark: optional(text({ max: 200 })),
})

/** Flow tests with bucket and watch: the history of every outlet, what fell by a fifth, and what is due again. */
export function addFlowTestRoutes(app: FastifyInstance, parts: Parts): void {
  const { db } = parts
  app.get('/flow-tests', { preHandler: may('abstractions.see') }, async (request, reply) => {
    const { today } = request.visit
    const tests = await testsByOutlet(db)
    const outlets = (await worksOn(db, today)).outlets.map((outlet) => {
      const lines = tests.get(outlet.id) ?? []
      const dueOn = lines[0] ? retestDueOn(lines[0]) : null
      return { ...outlet, lines, dueOn, isDue: dueOn === null || dueOn <= today }
    })
    return page({ request, reply }, 'works/flow-tests', { title: 'abstractions.flow-tests.title', outlets })
  })

  addRegister(app, parts, flowTestRegister(db))
}

/** One flow test, on the screen or as a line of paper. */
export function flowTestRegister(db: Database): Register<typeof BucketTestForm.fields> {
  return {
    ...{
      path: '/works/flow-tests',
      kind: 'flow-test',
      title: 'abstractions.flow-tests.new',
      permission: 'abstraction.log',
    },
    ...{ onField: 'onDate', back: '/works/flow-tests', intro: ['abstractions.flow-tests.how'] },
    form: () => BucketTestForm,
    start: async (request) => ({ outletId: String((request.query as { outlet?: string }).outlet ?? '') }),
    facts: async (
      { outletId, onDate, containerLitres, seconds1, seconds2, seconds3, seconds4, pumpState, remark },
      request,
    ) => {
      const { outlets } = await worksOn(db, request.visit.today)
      if (!outlets.some((outlet) => outlet.id === outletId)) return trouble('outletId', 'error.choose')
      const timings = [seconds1, seconds2, seconds3, seconds4].filter((timing) => timing !== null)
      return bucketTestFacts({ outletId, testedOn: onDate, containerLitres, seconds: timings, pumpState, remark })
    },
  }
}
