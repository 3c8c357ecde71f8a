import type { FastifyInstance, FastifyRequest } from 'fastify'
import { addPumpBalanceRoutes } from './abstractions/balance/pump-routes.ts'
import { addAbstractionsRoutes } from './abstractions/routes.ts'
import { answers } from './answers.ts'
import { readClock } from './book/clock.ts'
import { answerBefore } from './book/pen.ts'
import { toComeOn } from './book/to-come.ts'
import { addCropsRoutes } from './crops/routes.ts'
import { addFeesRoutes } from './fees/routes.ts'
import { doorsFor } from './home/doors.ts'
import { addHomeRoutes } from './home/routes.ts'
import { waysFor } from './home/ways.ts'
import { addPaperRoutes } from './paper/routes.ts'
import { addTankDayRoutes } from './paper/tank-day/routes.ts'
import type { Given, Parts } from './parts.ts'
import { groupCalendar } from './people/calendar/store.ts'
import { currentGroup } from './people/group/store.ts'
import { localeOf } from './people/language/state.ts'
import { marksShown } from './people/mark/shown.ts'
import { canLitresOn, ownMeasureOn } from './people/measure/store.ts'
import { listPersons } from './people/person/store.ts'
import { listPlots } from './people/plot/store.ts'
import { addEntranceRoutes, addPeopleRoutes } from './people/routes.ts'
import { tellTry } from './people/session/door-store.ts'
import { keepAside } from './people/session/kept-store.ts'
import { personOfSession } from './people/session/store.ts'
import { BODY_LIMIT_BYTES, BOOK_LIMIT_BYTES, plumbedApp } from './plumbing.ts'
import { addRotationRoutes } from './rotation/routes.ts'
import { addWaterRoutes } from './water/routes.ts'
import { loadLocale } from './web/figures/locale.ts'
import { numbersOf } from './web/forms/numbers.ts'
import { addWays } from './web/pages/desk.ts'
import { PageError, showError, TooLarge } from './web/pages/errors.ts'
import { addFieldLimit } from './web/pages/field-limit.ts'
import { addPrefixes } from './web/pages/prefixes.ts'
import { addVisit } from './web/pages/visit.ts'
import { listOutlets } from './works/pump/store.ts'
import { addWorksRoutes } from './works/routes.ts'

export async function buildApp(given: Given): Promise<FastifyInstance> {
  // The book is asked for anew by each request: routes take long to make, and tests serve many books by the same.
  const parts: Parts = Object.assign(Object.create(given) as Given, {
    ...answers,
    answeredBefore: (request: FastifyRequest) => answerBefore(parts.db, request),
    keepAside: (request: FastifyRequest) => keepAside(parts.db, request),
    tellRefusal: (request: FastifyRequest) =>
      tellTry(parts.db, { kind: 'refused', personId: request.person?.id ?? null, request }),
  })
  const app = await plumbedApp(given)
  addPrefixes(app)
  addWays(app)
  addVisit(app, {
    now: parts.now,
    machineWords: given.locale ?? loadLocale('en'),
    clock: (machineAt) => readClock(parts.db, machineAt),
    locale: (reader, on) => localeOf(parts, reader, on),
    group: () => currentGroup(parts.db),
    person: (session) => personOfSession(parts.db, session),
    doors: doorsFor,
    ways: waysFor,
    marks: (on, locale) => marksShown(parts.db, on, locale),
    numbers: async (on) =>
      numbersOf({
        plot: await listPlots(parts.db, on),
        outlet: await listOutlets(parts.db, on),
        person: await listPersons(parts.db),
      }),
    measures: {
      counts: async (on) => ({ canLitres: await canLitresOn(parts.db, on), ...(await groupCalendar(parts.db)) }),
      own: (personId, on) => ownMeasureOn(parts.db, personId, on),
    },
    coming: (path, today) => toComeOn(parts.db, path, today),
  })
  // An upload is read before any handler looks at it, so its length is held to its form's limit first.
  app.addHook('onRequest', async (request) => {
    const takesBook = request.routeOptions.config.wholeBook === true && request.person !== null
    const length = Number(request.headers['content-length'] ?? Number.POSITIVE_INFINITY)
    const isUpload = request.headers['content-type']?.startsWith('multipart/') ?? false
    if (!isUpload || length <= (takesBook ? BOOK_LIMIT_BYTES : BODY_LIMIT_BYTES)) return
    // Whoever is still sending cannot read an answer; what is within reason is let through to its end, and dropped.
    if (length <= BOOK_LIMIT_BYTES) for await (const _ of request.raw);
    throw new TooLarge()
  })
  addFieldLimit(app)
  // On a phone that passes from hand to hand nothing is kept for a step back after signing out; files of the look say their own.
  app.addHook('onSend', async (_request, reply) => {
    if (!reply.hasHeader('cache-control')) reply.header('cache-control', 'no-store')
  })
  // Every form carries the anti-forgery token; the check comes before any handler.
  app.addHook('preHandler', (request, reply, done) => {
    if (request.method === 'POST') app.csrfProtection(request, reply, done)
    else done()
  })
  app.setNotFoundHandler((request, reply) => showError(new PageError(404, 'error.page-404'), request, reply))
  app.setErrorHandler(showError)
  addHomeRoutes(app, parts)
  addEntranceRoutes(app, parts)
  for (const addRoom of ROOMS) addRoom(app, parts)
  return app
}

type Room = (app: FastifyInstance, parts: Parts) => void

/** The rooms in their reading order; each writes its addresses whole, with the door before them. */
const ROOMS: Room[] = [
  addPeopleRoutes,
  addWorksRoutes,
  addWaterRoutes,
  addCropsRoutes,
  addRotationRoutes,
  addAbstractionsRoutes,
  addPumpBalanceRoutes,
  addFeesRoutes,
  addPaperRoutes,
  addTankDayRoutes,
]
