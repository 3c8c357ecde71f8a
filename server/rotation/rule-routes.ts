import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Parts } from '../app.ts'
import { listPumps } from '../people/works-store.ts'
import { formPage } from '../web/form-page.ts'
import { emptyForm, type Filled, readForm, withError } from '../web/forms.ts'
import { may } from '../web/guard.ts'
import { page } from '../web/page.ts'
import { write } from '../web/pen.ts'
import { NoTurnDayForm, SharingRuleForm } from './forms.ts'
import { addNoTurnDay } from './no-turn-store.ts'
import { setSharingRule, sharingRules } from './rule-store.ts'

/** The sharing rule in plain sentences, and the days without turns. */
export function addRuleRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/sharing-rule', { preHandler: may('turns.see') }, async (request, reply) =>
    page(request, reply, 'rotation/rules', {
      title: 'rotation.rule.list-title',
      rules: (await sharingRules(db)).reverse().map((rule) => ({ ...rule, parts: partsOf(rule) })),
    }),
  )

  app.get('/sharing-rule/new', { preHandler: may('rule.set') }, async (request, reply) => {
    const last = (await sharingRules(db)).at(-1)
    const weights = last
      ? {
          equalWeight: String(last.equalWeight),
          areaWeight: String(last.areaWeight),
          shareWeight: String(last.shareWeight),
          admission: last.admission,
        }
      : { equalWeight: '0', areaWeight: '100', shareWeight: '0', admission: 'crop' }
    return showRule(request, reply, emptyForm({ ...weights, fromOn: request.visit.today }))
  })

  app.post('/sharing-rule', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(SharingRuleForm, request.body)
    if (!form.ok) return showRule(request, reply, form)
    const rule = form.data
    if (rule.equalWeight + rule.areaWeight + rule.shareWeight === 0) {
      return showRule(request, reply, withError(form, 'equalWeight', 'rotation.rule.no-weight'))
    }
    const isFirst = (await sharingRules(db)).length === 0
    if (!isFirst && rule.fromOn < request.visit.today) {
      return showRule(request, reply, withError(form, 'fromOn', 'rotation.rule.past'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => setSharingRule(pen, rule),
      () => '/sharing-rule',
    )
  })

  app.get('/no-turn-days/new', { preHandler: may('rule.set') }, async (request, reply) =>
    showNoTurnDay(request, reply, emptyForm()),
  )

  app.post('/no-turn-days', { preHandler: may('rule.set') }, async (request, reply) => {
    const form = readForm(NoTurnDayForm, request.body)
    if (!form.ok) return showNoTurnDay(request, reply, form)
    if (form.data.onDate < request.visit.today) {
      return showNoTurnDay(request, reply, withError(form, 'onDate', 'rotation.no-turn-day.past'))
    }
    return write(
      { db, request, reply, at: now() },
      (pen) => addNoTurnDay(pen, form.data),
      () => '/weeks',
    )
  })

  async function showNoTurnDay(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const pumps = await listPumps(db, request.visit.today)
    return formPage(request, reply, {
      title: 'rotation.no-turn-day.title',
      form: NoTurnDayForm,
      filled,
      options: { pumpId: pumps.map((pump) => ({ value: pump.id, label: `${pump.number} ${pump.name}` })) },
      action: '/no-turn-days',
      intro: ['rotation.no-turn-day.intro'],
      back: '/weeks',
    })
  }
}

function showRule(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
  return formPage(request, reply, {
    title: 'rotation.rule.title',
    form: SharingRuleForm,
    filled,
    action: '/sharing-rule',
    intro: ['rotation.rule.intro', 'rotation.rule.example'],
    back: '/sharing-rule',
  })
}

/** The weights as parts of one. */
export function partsOf(rule: { equalWeight: number; areaWeight: number; shareWeight: number }) {
  const sum = rule.equalWeight + rule.areaWeight + rule.shareWeight
  return { equal: rule.equalWeight / sum, area: rule.areaWeight / sum, share: rule.shareWeight / sum }
}
