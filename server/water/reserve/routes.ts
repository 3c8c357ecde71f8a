import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, type Typed, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { SettingForm, UsersForm } from '../forms.ts'
import { missingFor, waterStates } from '../weir/state.ts'
import { listWeirs } from '../weir/store.ts'
import { inputOfUsers, needOf, usersOfInput } from './users-input.ts'
import { setWaterSetting, setWaterUsers, USER_KINDS, waterSettingOn, waterUsersOn } from './users-store.ts'

/** Who drinks from which weir, until when the sand must carry them, and what is kept for that. */
export function addReserveRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/reserve', { preHandler: may('water.see') }, async (request, reply) => {
    const states = await waterStates(db, { on: request.visit.today })
    return page({ request, reply }, 'water/reserve/page', {
      title: 'water.reserve.title',
      states: states.map((state) => ({ ...state, missing: missingFor(state) })),
      setting: await waterSettingOn(db, request.visit.today),
      cautions: ['water.caution-untreated'],
    })
  })

  app.get<{ Querystring: { weirId?: string } }>(
    '/reserve/new',
    { preHandler: may('water.describe') },
    async (request, reply) => {
      const weirs = await listWeirs(db)
      const weirId = request.query.weirId ?? (weirs.length === 1 ? weirs[0]!.id : '')
      const last = (await waterUsersOn(db, request.visit.today)).get(weirId)
      return showUsers(request, reply, emptyForm({ weirId, ...inputOfUsers(last), fromOn: request.visit.today }))
    },
  )

  app.post('/reserve', { preHandler: may('water.describe') }, async (request, reply) => {
    const form = readForm(UsersForm, request.body)
    if (!form.ok) return showUsers(request, reply, form)
    const { weirId, fromOn } = form.data
    if (!(await listWeirs(db)).some((weir) => weir.id === weirId)) {
      return showUsers(request, reply, withError(form, 'weirId', 'error.choose'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setWaterUsers(pen, { weirId, fromOn, users: usersOfInput(form.data) }),
      () => '/water/reserve',
    )
  })

  app.get('/water-settings/new', { preHandler: may('water.describe') }, async (request, reply) => {
    const last = await waterSettingOn(db, request.visit.today)
    const typed: Typed = last ? { lateRainOn: last.lateRainOn, wetRain: String(last.wetRainMm) } : {}
    return showSetting(request, reply, emptyForm({ ...typed, fromOn: request.visit.today }))
  })

  app.post('/water-settings', { preHandler: may('water.describe') }, async (request, reply) => {
    const form = readForm(SettingForm, request.body)
    if (!form.ok) return showSetting(request, reply, form)
    const { lateRainOn, wetRain, fromOn } = form.data
    if (lateRainOn <= fromOn) {
      return showSetting(request, reply, withError(form, 'lateRainOn', 'water.setting.late-rain-past'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setWaterSetting(pen, { fromOn, lateRainOn, wetRainMm: wetRain }),
      () => '/water/reserve',
    )
  })

  async function showUsers(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    if (Object.keys(filled.errors).length > 0) reply.code(422)
    const weirs = await listWeirs(db)
    return page({ request, reply }, 'water/reserve/users-form', {
      title: 'water.users.title',
      form: UsersForm,
      filled,
      action: '/water/reserve',
      submit: 'layout.save',
      options: { weirId: weirs.map(({ id, number, name }) => ({ value: id, label: `${number} ${name}` })) },
      needs: USER_KINDS.map(needOf),
      cautions: ['water.caution-untreated'],
    })
  }
}

function showSetting(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'water.setting.title',
      form: SettingForm,
      filled,
      action: '/water/water-settings',
      intro: ['water.setting.intro'],
      back: '/water/reserve',
    },
  )
}
