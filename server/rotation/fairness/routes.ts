import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { BURDENS } from '../../../domain/rotation/timetable/burdens.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { currentGroup } from '../../people/group/store.ts'
import { listPersons } from '../../people/person/store.ts'
import { date, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { workingPage } from '../../web/pages/working.ts'
import { holderGroupsOn, setHolderGroups } from './group-store.ts'
import { fairSeason } from './season.ts'

const HolderGroupForm = defineForm('turns.holder-group', {
  personId: select(),
  names: optional(text({ max: 120 })),
  fromOn: date(),
})

/** Is it fair? Received against entitled, with the published measures, and every figure opened. */
export function addFairRoutes(app: FastifyInstance, { db, now }: Parts): void {
  const guard = { preHandler: may('turns.see') }

  app.get('/fairness', guard, async (request, reply) => {
    const season = await seasonOf(request)
    const plots = new Map(season.plots.map((plot) => [plot.id, plot]))
    const weirs = new Map(season.weirs.map((weir) => [weir.id, weir]))
    const { fairness } = season
    return page({ request, reply }, 'rotation/fairness/page', {
      title: 'turns.fair-title',
      fairness,
      count: season.weeks.length,
      until: season.weeks.at(-1)?.weekStartOn ?? null,
      houses: fairness.plots.map((line) => {
        const plot = plots.get(line.plotId)!
        return { ...line, plot, isOwn: plot.holders.some((holder) => holder.id === request.person?.id) }
      }),
      byWeir: fairness.byWeir.map((line) => ({ ...line, name: weirs.get(line.name)?.name ?? '' })),
      burdenNames: BURDENS,
      wishes: season.wishes,
      burdens: season.plots.map((plot) => ({ plot, counts: season.burdens[plot.id] ?? {} })),
    })
  })

  app.get<{ Params: { id: string } }>('/fairness/plots/:id', guard, async (request, reply) => {
    const { fairness, weeks, plots } = await seasonOf(request)
    const plot = found(plots.find((one) => one.id === request.params.id))
    const line = found(fairness.plots.find((one) => one.plotId === plot.id))
    const {
      locale: { t },
      format,
    } = request.visit
    const m3 = (volumeM3: number) => `${format.one(volumeM3)} ${t('layout.unit-m3')}`
    return workingPage(
      { request, reply },
      {
        title: 'turns.fair-plot-title',
        titleValues: { number: plot.number, name: plot.name },
        result: t('turns.fair-plot-result', {
          received: format.one(line.receivedM3),
          entitled: format.one(line.entitledM3),
        }),
        doubt: t('turns.fair-plot-doubt', {
          estimated: format.one(line.estimatedM3),
          error: format.one(line.uncertaintyM3),
        }),
        lines: weeks
          .filter((week) => plot.id in week.entitledM3 || plot.id in week.receivedM3)
          .map((week) => ({
            label: t('turns.fair-week', { start: format.date(week.weekStartOn) }),
            value: t('turns.fair-of', {
              received: m3(week.receivedM3[plot.id] ?? 0),
              entitled: m3(week.entitledM3[plot.id] ?? 0),
            }),
            href: `/turns/weeks/${week.weekStartOn}/plots/${plot.id}`,
          })),
        equation: t('turns.fair-plot-equation'),
        source: t('turns.fair-plot-source'),
        back: '/turns/fairness',
      },
    )
  })

  app.get('/fairness/measures', guard, async (request, reply) => {
    const { fairness, weeks } = await seasonOf(request)
    const {
      locale: { t },
      format,
    } = request.visit
    const { adequacy, equity, dependability, jain, gini } = fairness.indicators
    const two = (value: number | null) => (value === null ? '–' : format.two(value))
    return workingPage(
      { request, reply },
      {
        title: 'turns.measures-title',
        result: t('turns.measures-result', { weeks: weeks.length, plots: fairness.plots.length }),
        doubt: t('turns.measures-doubt'),
        lines: [
          { label: t('turns.measure-adequacy'), value: two(adequacy.value) },
          {
            label: t('turns.measure-dependability'),
            value: `${two(dependability.population.value)} (${two(dependability.sample.value)})`,
          },
          { label: t('turns.measure-equity'), value: `${two(equity.population.value)} (${two(equity.sample.value)})` },
          { label: t('turns.measure-jain'), value: two(jain) },
          { label: t('turns.measure-gini'), value: two(gini?.value ?? null) },
        ],
        equation: t('turns.measures-equation'),
        source: t('turns.measures-source'),
        back: '/turns/fairness',
      },
    )
  })

  app.get('/holder-groups/new', { preHandler: may('people.register') }, async (request, reply) =>
    showGroups(request, reply, emptyForm({ fromOn: request.visit.today })),
  )

  app.post('/holder-groups', { preHandler: may('people.register') }, async (request, reply) => {
    const form = readForm(HolderGroupForm, request.body)
    if (!form.ok) return showGroups(request, reply, form)
    const { personId, fromOn } = form.data
    if (!(await listPersons(db)).some((person) => person.id === personId)) {
      return showGroups(request, reply, withError(form, 'personId', 'error.choose'))
    }
    const names = [
      ...new Set(
        (form.data.names ?? '')
          .split(',')
          .map((name) => name.trim())
          .filter(Boolean),
      ),
    ]
    return write(
      { db, request, reply, at: now() },
      (pen) => setHolderGroups(pen, { personId, fromOn, names }),
      () => '/turns/fairness',
    )
  })

  async function seasonOf(request: FastifyRequest) {
    return fairSeason(db, found(await currentGroup(db)), request.visit.today)
  }

  async function showGroups(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const groups = await holderGroupsOn(db, request.visit.today)
    const named = (person: { id: string; number: number; name: string }) =>
      [`${person.number} ${person.name}`, (groups.get(person.id) ?? []).join(', ')].filter(Boolean).join(': ')
    return formPage(
      { request, reply },
      {
        title: 'turns.holder-group-title',
        form: HolderGroupForm,
        filled,
        options: { personId: (await listPersons(db)).map((person) => ({ value: person.id, label: named(person) })) },
        action: '/turns/holder-groups',
        intro: ['turns.holder-group-intro'],
        back: '/turns/fairness',
      },
    )
  }
}
