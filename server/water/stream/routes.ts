import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Weekday } from '../../../domain/calendar.ts'
import { YEARLY_FLOW_HELD } from '../../../domain/water/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listWeirs } from '../weir/store.ts'
import { ShareForm, ShutForm } from './forms.ts'
import { streamState } from './state.ts'
import { NO_SHARE, setShutMark, setStreamShare, streamShareOn } from './store.ts'

/** What is left to the stream: rest days, marks below which weirs stay shut, and the permit. */
export function addStreamRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/stream-share', { preHandler: may('water.see') }, async (request, reply) =>
    page({ request, reply }, 'water/stream/page', {
      title: 'watch.stream.title',
      ...(await streamState(db, request.visit.today)),
      held: YEARLY_FLOW_HELD,
    }),
  )

  app.get('/stream-share/new', { preHandler: may('rule.set') }, async (request, reply) => {
    const share = (await streamShareOn(db, request.visit.today)) ?? NO_SHARE
    const typed = {
      restDays: share.restDays.map(String),
      permit: share.permitM3 === null ? '' : String(share.permitM3),
      permitYearStart: share.permitYearStart ?? '',
      warnPart: String(Math.round(share.warnPart * 1000) / 10),
      words: share.words ?? '',
      fromOn: request.visit.today,
    }
    return showShare(request, reply, emptyForm(typed))
  })

  app.post('/stream-share', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(ShareForm, request.body)
    if (!form.ok) return showShare(request, reply, form)
    const { restDays, permit, permitYearStart, warnPart, words, fromOn } = form.data
    if (permit !== null && permitYearStart === null)
      return showShare(request, reply, withError(form, 'permitYearStart', 'watch.share.year-missing'))
    const share = {
      fromOn,
      restDays: restDays.map((day) => Number(day) as Weekday),
      permitM3: permit,
      permitYearStart: permit === null ? null : permitYearStart,
      warnPart: warnPart / 100,
      words,
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setStreamShare(pen, share),
      () => '/water/stream-share',
    )
  })

  app.get<{ Querystring: { weirId?: string } }>(
    '/shut-marks/new',
    { preHandler: may('rule.set') },
    async (request, reply) => {
      const typed = { weirId: request.query.weirId ?? '', fromOn: request.visit.today }
      return showShut(request, reply, emptyForm(typed))
    },
  )

  app.post('/shut-marks', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(ShutForm, request.body)
    if (!form.ok) return showShut(request, reply, form)
    const { weirId, shutBelowLevel, words, fromOn } = form.data
    if (!(await listWeirs(db)).some((weir) => weir.id === weirId))
      return showShut(request, reply, withError(form, 'weirId', 'error.choose'))
    const mark = { weirId, fromOn, shutBelowLevelM: shutBelowLevel, words }
    return write(
      { db, request, reply, at: now() },
      (pen) => setShutMark(pen, mark),
      () => '/water/stream-share',
    )
  })

  async function showShut(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { t } = request.visit.locale
    const weirId = (await listWeirs(db)).map((weir) => ({
      value: weir.id,
      label: t('water.weir.heading', { ...weir }),
    }))
    return formPage(
      { request, reply },
      {
        title: 'watch.shut.title',
        form: ShutForm,
        filled,
        options: { weirId },
        action: '/water/shut-marks',
        intro: ['watch.shut.intro'],
        back: '/water/stream-share',
      },
    )
  }
}

function showShare(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(
    { request, reply },
    {
      title: 'watch.share.title',
      form: ShareForm,
      filled,
      action: '/water/stream-share',
      intro: ['watch.share.intro', 'watch.share.law'],
      back: '/water/stream-share',
    },
  )
}
