import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { InputError } from '../../../domain/input-error.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { OutlookSettingForm, RainRecordForm, StrikeForm } from './forms.ts'
import { outlookLines, weirPages } from './pages.ts'
import { rainRecordYears } from './rain.ts'
import { outlookState, TRACES } from './state.ts'
import {
  addRainRecord,
  listRainRecords,
  outlookSettingOn,
  setOutlook,
  strikeRainRecord,
  USUAL_OUTLOOK,
} from './store.ts'

type WithId = { Params: { id: string } }

/** The water of the season ahead over the group's own rain years. */
export function addOutlookRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/outlook', { preHandler: may('water.see') }, async (request, reply) => {
    const group = found(await currentGroup(db))
    const state = await outlookState(db, { group, on: request.visit.today })
    return page({ request, reply }, 'water/outlook/page', {
      title: 'outlook.title',
      state,
      seasonEndOn: group.seasonEndOn,
      traces: TRACES,
      pages: weirPages(state, request.visit),
      lines: outlookLines(state, request.visit, group.seasonEndOn),
    })
  })

  app.get('/outlook-settings/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const { holdsIn, seed } = (await outlookSettingOn(db, request.visit.today)) ?? USUAL_OUTLOOK
    const typed = { seasonsOfTen: String(Math.round(holdsIn * 100) / 10), seed: String(seed) }
    return showSetting(request, reply, emptyForm({ ...typed, fromOn: request.visit.today }))
  })

  app.post('/outlook-settings', { preHandler: may('water.describe') }, async (request, reply) => {
    const form = readForm(OutlookSettingForm, request.body)
    if (!form.ok) return showSetting(request, reply, form)
    const { seasonsOfTen, seed, fromOn } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => setOutlook(pen, { fromOn, holdsIn: seasonsOfTen / 10, seed }),
      () => '/water/outlook',
    )
  })

  app.get('/rain-records/new', { preHandler: may('water.describe') }, async (request, reply) =>
    showRecord(request, reply, emptyForm({ order: 'year-first' })),
  )

  app.post('/rain-records', { preHandler: may('water.describe') }, async (request, reply) => {
    const form = readForm(RainRecordForm, request.body)
    if (!form.ok) return showRecord(request, reply, form)
    const { source, order, rain } = form.data
    const years = readYears(() => rainRecordYears(rain, order, request.visit.today))
    if (years instanceof InputError) {
      const words = years.code.startsWith('rain-') ? 'outlook.record' : 'crops.wrong'
      const shown = withError(form, 'rain', `${words}.${years.code}`, years.values)
      return showRecord(request, reply, shown)
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addRainRecord(pen, { source, years }),
      (id) => `/water/rain-records/${id}`,
    )
  })

  app.get<WithId>('/rain-records/:id', { preHandler: may('water.see') }, async (request, reply) =>
    showOne(request, reply, emptyForm()),
  )

  app.post<WithId>('/rain-records/:id/strikes', { preHandler: may('water.describe') }, async (request, reply) => {
    const form = readForm(StrikeForm, request.body)
    if (!form.ok) return showOne(request, reply, form)
    const { id } = await recordOr404(request)
    return write(
      { db, request, reply, at: now() },
      (pen) => strikeRainRecord(pen, { id, reason: form.data.reason }),
      () => '/water/outlook',
    )
  })

  async function recordOr404(request: FastifyRequest) {
    const { id } = request.params as { id: string }
    return found((await listRainRecords(db)).find((record) => record.id === id))
  }

  async function showOne(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const record = await recordOr404(request)
    if (Object.keys(filled.errors).length > 0) reply.code(422)
    return page({ request, reply }, 'water/outlook/record', {
      title: 'outlook.record.one',
      record,
      form: StrikeForm,
      filled,
    })
  }
}

function readYears<T>(read: () => T): T | InputError {
  try {
    return read()
  } catch (error) {
    if (error instanceof InputError) return error
    throw error
  }
}

function showSetting(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'outlook.setting.title',
      form: OutlookSettingForm,
      filled,
      action: '/water/outlook-settings',
      intro: ['outlook.setting.intro'],
      back: '/water/outlook',
    },
  )
}

function showRecord(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'outlook.record.title',
      form: RainRecordForm,
      filled,
      action: '/water/rain-records',
      intro: ['outlook.record.intro'],
      back: '/water/outlook',
    },
  )
}
