import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { drainableStorageM3 } from '../../../domain/water/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPersons } from '../../people/person/store.ts'
import { found, PageError } from '../../web/errors.ts'
import { type FormPage, formPage } from '../../web/form-page.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms.ts'
import { may } from '../../web/guard.ts'
import { page } from '../../web/page.ts'
import { LevelCorrectionForm, LevelForm } from '../forms.ts'
import { bodyOf, listSurveys, listWeirs, surveyInForce } from '../weir/store.ts'
import { readingFlags } from './flags.ts'
import { inputOfReading, type LevelInput, readingOfInput } from './input.ts'
import { addLevelReading, findReading, listReadings, type WrittenReading } from './store.ts'

type WithId = { Params: { id: string } }

/** The level book: readings and their corrections. */
export function addLevelRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<{ Querystring: { weirId?: string } }>(
    '/levels/new',
    { preHandler: may('level.record') },
    async (request, reply) => {
      const typed = {
        weirId: request.query.weirId ?? '',
        readOn: request.visit.today,
        readerId: request.person?.id ?? '',
      }
      return show(request, reply, newLevelPage(emptyForm(typed)))
    },
  )

  app.post('/levels', { preHandler: may('level.record') }, async (request, reply) => {
    const form = readForm(LevelForm, request.body)
    if (!form.ok) return show(request, reply, newLevelPage(form))
    const read = await checked(request, form.data, form)
    if ('problem' in read) return show(request, reply, newLevelPage(read.problem))
    return write(
      { db, request, reply, at: now() },
      (pen) => addLevelReading(pen, read.reading),
      (id) => `/water/levels/${id}`,
    )
  })

  app.get<WithId>('/levels/:id', { preHandler: may('water.see') }, async (request, reply) => {
    const reading = await readingOr404(request)
    const weir = found((await listWeirs(db)).find((one) => one.id === reading.weirId))
    const survey = surveyInForce(await listSurveys(db, weir.id), weir.id, reading.readOn)
    const { waterLevelM } = reading
    return page({ request, reply }, 'water/level', {
      title: 'water.level.heading',
      titleValues: { number: weir.number, date: request.visit.format.date(reading.readOn) },
      weir,
      reading,
      survey,
      stored: survey && waterLevelM !== null ? drainableStorageM3({ body: bodyOf(survey), waterLevelM }) : null,
      flags: readingFlags({ reading, survey, before: await readingBefore(reading) }),
    })
  })

  app.get<WithId>('/levels/:id/corrections/new', { preHandler: may('level.record') }, async (request, reply) => {
    const reading = await correctable(request)
    const timeZone = request.visit.group?.timeZone ?? 'UTC'
    return show(request, reply, correctionPage(reading, emptyForm(inputOfReading(reading, timeZone))))
  })

  app.post<WithId>('/levels/:id/corrections', { preHandler: may('level.record') }, async (request, reply) => {
    const reading = await correctable(request)
    const form = readForm(LevelCorrectionForm, request.body)
    if (!form.ok) return show(request, reply, correctionPage(reading, form))
    const { reason } = form.data
    const read = await checked(request, form.data, form)
    if ('problem' in read) return show(request, reply, correctionPage(reading, read.problem))
    return write(
      { db, request, reply, at: now() },
      (pen) => addLevelReading(pen, { ...read.reading, correctsId: reading.id, reason }),
      (id) => `/water/levels/${id}`,
    )
  })

  async function checked(request: FastifyRequest, input: LevelInput, form: Filled) {
    if (!(await listWeirs(db)).some((weir) => weir.id === input.weirId))
      return { problem: withError(form, 'weirId', 'error.choose') }
    if (input.readerId && !(await listPersons(db)).some((person) => person.id === input.readerId))
      return { problem: withError(form, 'readerId', 'error.choose') }
    return readingOfInput(input, form, { timeZone: request.visit.group?.timeZone ?? 'UTC', now: now() })
  }

  async function readingOr404(request: FastifyRequest): Promise<WrittenReading> {
    return found(await findReading(db, (request.params as { id: string }).id))
  }

  /** A reading that was already corrected is mended at its correction, so that the chain stays one line. */
  async function correctable(request: FastifyRequest): Promise<WrittenReading> {
    const reading = await readingOr404(request)
    if (reading.correctedById) throw new PageError(409, 'water.level.already-corrected')
    return reading
  }

  async function readingBefore(reading: WrittenReading) {
    const earlier = await listReadings(db, { weirId: reading.weirId, toOn: reading.readOn })
    return earlier.filter((one) => one.happenedAt < reading.happenedAt).at(-1) ?? null
  }

  async function show(request: FastifyRequest, reply: FastifyReply, shown: FormPage) {
    const options = {
      weirId: (await listWeirs(db)).map(numbered),
      readerId: (await listPersons(db)).map(numbered),
    }
    return formPage({ request, reply }, { ...shown, options })
  }
}

const CAUTIONS = ['water.caution-chamber', 'water.caution-flood']

function newLevelPage(filled: Filled): FormPage {
  return {
    title: 'water.level.title',
    form: LevelForm,
    filled,
    action: '/water/levels',
    intro: ['water.level.intro'],
    cautions: CAUTIONS,
    back: '/water',
  }
}

function correctionPage({ id }: WrittenReading, filled: Filled): FormPage {
  return {
    title: 'water.level.correction-title',
    form: LevelCorrectionForm,
    filled,
    action: `/water/levels/${id}/corrections`,
    intro: ['water.level.correction-intro'],
    back: `/water/levels/${id}`,
  }
}

function numbered({ id, number, name }: { id: string; number: number; name: string }) {
  return { value: id, label: `${number} ${name}` }
}
