import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { isCalendarDate, weekEndOn } from '../../../domain/calendar.ts'
import { comparedWeek } from '../../../domain/rotation/draft/compare-week.ts'
import { RULE_NAMES } from '../../../domain/rotation/rule/compare.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { select, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { shownWeek } from '../week/view.ts'
import { weekValues } from '../week/words.ts'
import { chooseWeekRule } from './compare-store.ts'

const ChoiceForm = defineForm('rules.choice', {
  rule: select([...RULE_NAMES]),
  reason: text({ max: 300 }),
})

type WithWeek = { Params: { start: string } }

/** The same week under four rules, name by name, and the committee's choice among them. */
export function addCompareRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get<WithWeek>('/weeks/:start/comparison', { preHandler: may('turns.see') }, async (request, reply) =>
    show(request, reply, null),
  )

  app.post<WithWeek>('/weeks/:start/rule-choices', { preHandler: may('week.publish') }, async (request, reply) => {
    const { week, weekStartOn } = await weekOr404(request)
    if (week.published) throw new PageError(409, 'rotation.already-published')
    if (weekEndOn(weekStartOn) < request.visit.today) throw new PageError(409, 'rotation.week-over')
    const form = readForm(ChoiceForm, request.body)
    if (!form.ok) return show(request, reply, form)
    const { rule, reason } = form.data
    return write(
      { db, request, reply, at: now() },
      (pen) => chooseWeekRule(pen, { weekStartOn, rule, reason }),
      () => `/turns/weeks/${weekStartOn}/comparison`,
    )
  })

  async function weekOr404(request: FastifyRequest) {
    const weekStartOn = (request.params as WithWeek['Params']).start
    found(isCalendarDate(weekStartOn) || undefined)
    const group = found(await currentGroup(db))
    const week = await shownWeek(db, { group, weekStartOn, today: request.visit.today })
    if (!week) throw new PageError(409, 'rotation.no-rule')
    return { week, weekStartOn }
  }

  async function show(request: FastifyRequest, reply: FastifyReply, filled: Filled | null) {
    const { week, weekStartOn } = await weekOr404(request)
    if (filled) reply.code(422)
    const { inputs } = week
    return page({ request, reply }, 'rotation/rule/compare', {
      title: 'rules.comparison.title',
      titleValues: weekValues(request, weekStartOn),
      weekStartOn,
      published: week.published !== null,
      over: weekEndOn(weekStartOn) < request.visit.today,
      choice: inputs.choice,
      drought: inputs.drought,
      plots: inputs.plots,
      names: RULE_NAMES,
      ...comparedWeek(inputs),
      form: ChoiceForm,
      filled: filled ?? emptyForm({ rule: inputs.choice?.rule ?? 'evening-out', reason: '' }),
      action: `/turns/weeks/${weekStartOn}/rule-choices`,
    })
  }
}
