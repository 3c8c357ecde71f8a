import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPlots } from '../../people/plot/store.ts'
import { listWeirs } from '../../water/weir/store.ts'
import type { Filled } from '../../web/forms/forms.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { filledFromRule, RULE_SECTIONS, readRule, weirFields, wholeRuleForm } from './form.ts'
import { householdsOn } from './household-store.ts'
import { ruleInWords } from './sentences.ts'
import { FIRST_RULE, setSharingRule, sharingRules } from './store.ts'

/** The sharing rule: every version in plain sentences with worked examples, and the form for the next. */
export function addRuleRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/sharing-rule', { preHandler: may('turns.see') }, async (request, reply) => {
    const { today } = request.visit
    const places = await rulePlaces(request)
    const rules = (await sharingRules(db)).map((rule) => ({
      ...rule,
      words: ruleInWords(rule, request.visit, places),
    }))
    const households = await householdsOn(db, today)
    return page({ request, reply }, 'rotation/rule/page', {
      title: 'rules.title',
      rules: rules.reverse(),
      current: rules.find((rule) => rule.fromOn <= today)?.entryId ?? rules.at(-1)?.entryId ?? null,
      countsPersons: rules.some((rule) => rule.personsWeight > 0),
      withoutPersons: places.plots.filter((plot) => !households.get(plot.id)?.persons).map((plot) => plot.number),
    })
  })

  app.get('/sharing-rule/new', { preHandler: may('rule.set') }, async (request, reply) => {
    const last = (await sharingRules(db)).at(-1) ?? FIRST_RULE
    return showRule(request, reply, filledFromRule(last, await rulePlaces(request), request.visit.today))
  })

  app.post('/sharing-rule', { preHandler: may('rule.set') }, async (request, reply) => {
    const isFirst = (await sharingRules(db)).length === 0
    const read = readRule(request.body, await rulePlaces(request), isFirst ? null : request.visit.today)
    if (!read.ok) return showRule(request, reply, read.filled)
    return write(
      { db, request, reply, at: now() },
      (pen) => setSharingRule(pen, read.rule),
      () => '/turns/sharing-rule',
    )
  })

  async function rulePlaces(request: FastifyRequest) {
    return { weirs: await listWeirs(db), plots: await listPlots(db, request.visit.today) }
  }

  async function showRule(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    if (Object.keys(filled.errors).length > 0) reply.code(422)
    const { weirs } = await rulePlaces(request)
    return page({ request, reply }, 'rotation/rule/form', {
      title: 'rules.rule.title',
      form: wholeRuleForm(weirs),
      filled,
      sections: RULE_SECTIONS,
      weirs: weirs.map((weir) => ({ number: weir.number, name: weir.name, fields: weirFields(weir) })),
      action: '/turns/sharing-rule',
      back: '/turns/sharing-rule',
    })
  }
}
