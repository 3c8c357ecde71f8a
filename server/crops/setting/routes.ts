import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { irrigationMethodByKey, USUAL_RAIN_RULE } from '../../../domain/crops/index.ts'
import { write } from '../../book/pen.ts'
import type { Parts } from '../../parts.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, type Form, readForm, withError } from '../../web/forms/forms.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { CoefficientForm, MONTHS, MonthTableForm, RainRuleForm, STATES, StateForm } from './forms.ts'
import { cropSettings, setCoefficientRule, setMonthTable, setPlotState, setRainRule } from './store.ts'

const SEE = { preHandler: may('crops.see') }
const SET = { preHandler: may('crops.declare') }

/** What the group settled on for reckoning with crops: each row dated, the past keeps what held then. */
export function addSettingRoutes(app: FastifyInstance, { db, now }: Parts): void {
  app.get('/settings', SEE, async (request, reply) => {
    const { today } = request.visit
    const settings = await cropSettings(db, today)
    const plots = await listPlots(db, today)
    return page({ request, reply }, 'crops/settings', {
      title: 'planting.settings.title',
      ...{ settings, months: MONTHS, usual: USUAL_RAIN_RULE },
      states: plots.flatMap((plot) => {
        const state = settings.stateOfPlot.get(plot.id)
        return state ? [{ plot, ...state }] : []
      }),
    })
  })

  app.get('/settings/rain-rule/new', SET, async (request, reply) => {
    const rule = (await cropSettings(db, request.visit.today)).rainRule
    const { thresholdMm, fraction } = rule ?? USUAL_RAIN_RULE
    const values = { threshold: String(thresholdMm), percent: String(100 * fraction) }
    const missingRain = rule?.missingRain ?? 'cannot-say'
    return show(request, reply, RAIN_RULE, emptyForm({ ...values, missingRain, fromOn: request.visit.today }))
  })

  app.post('/settings/rain-rule', SET, async (request, reply) => {
    const form = readForm(RainRuleForm, request.body)
    if (!form.ok) return show(request, reply, RAIN_RULE, form)
    const { threshold, percent, missingRain, fromOn } = form.data
    const rule = { fromOn, thresholdMm: threshold, fraction: percent / 100, missingRain }
    return write({ db, request, reply, at: now() }, (pen) => setRainRule(pen, rule), settingsPage)
  })

  app.get('/settings/month-table/new', SET, async (request, reply) => {
    const table = (await cropSettings(db, request.visit.today)).monthTable
    const months = table ? MONTHS.map((month, at) => [month, String(table.etoMmPerDay[at])]) : []
    const values = { ...Object.fromEntries(months), words: table?.words ?? '', fromOn: request.visit.today }
    return show(request, reply, MONTH_TABLE, emptyForm(values))
  })

  app.post('/settings/month-table', SET, async (request, reply) => {
    const form = readForm(MonthTableForm, request.body)
    if (!form.ok) return show(request, reply, MONTH_TABLE, form)
    const { words, fromOn, ...months } = form.data
    const table = { words, fromOn, etoMmPerDay: MONTHS.map((month) => months[month]) }
    return write({ db, request, reply, at: now() }, (pen) => setMonthTable(pen, table), settingsPage)
  })

  app.get('/settings/coefficients/new', SET, async (request, reply) => {
    const rule = (await cropSettings(db, request.visit.today)).coefficientRule
    const values = {
      byClimate: rule?.byClimate ? 'yes' : '',
      wettingDays: rule?.wetting ? String(rule.wetting.days) : '',
      wettingMm: rule?.wetting ? String(rule.wetting.depthMm) : '',
      wettedPart: rule?.wettedPart ? 'yes' : '',
      fromOn: request.visit.today,
    }
    return show(request, reply, COEFFICIENTS, emptyForm(values))
  })

  app.post('/settings/coefficients', SET, async (request, reply) => {
    const form = readForm(CoefficientForm, request.body)
    if (!form.ok) return show(request, reply, COEFFICIENTS, form)
    const { byClimate, wettingDays: days, wettingMm: depthMm, wettedPart, fromOn } = form.data
    if ((days === null) !== (depthMm === null)) {
      const field = days === null ? 'wettingDays' : 'wettingMm'
      return show(request, reply, COEFFICIENTS, withError(form, field, 'planting.wrong.wetting-half'))
    }
    const wetting = days === null || depthMm === null ? null : { days, depthMm }
    if (wettedPart && !wetting) {
      return show(request, reply, COEFFICIENTS, withError(form, 'wettingDays', 'planting.wrong.wetted-part-alone'))
    }
    const rule = { fromOn, byClimate, wetting, wettedPart }
    return write({ db, request, reply, at: now() }, (pen) => setCoefficientRule(pen, rule), settingsPage)
  })

  app.get<{ Querystring: { plotId?: string } }>('/settings/states/new', SET, async (request, reply) => {
    const values = { plotId: request.query.plotId ?? '', state: STATES[0], fromOn: request.visit.today }
    return showState(request, reply, emptyForm(values))
  })

  app.post('/settings/states', SET, async (request, reply) => {
    const form = readForm(StateForm, request.body)
    if (!form.ok) return showState(request, reply, form)
    const { plotId, state, fromOn } = form.data
    const plot = (await listPlots(db, fromOn)).find((one) => one.id === plotId)
    if (!plot) return showState(request, reply, withError(form, 'plotId', 'error.choose'))
    const method = irrigationMethodByKey(plot.method)
    if (state !== 'sound' && method?.troubled?.state !== state) {
      const values = { method: request.visit.locale.t(`people.plot.method.${plot.method}`) }
      return showState(request, reply, withError(form, 'state', 'planting.wrong.state-of-other-method', values))
    }
    return write({ db, request, reply, at: now() }, (pen) => setPlotState(pen, plotId, state, fromOn), settingsPage)
  })

  async function showState(request: FastifyRequest, reply: FastifyReply, filled: Filled) {
    const { locale, today } = request.visit
    const plots = (await listPlots(db, today)).map(({ id, number, name, method }) => ({
      value: id,
      label: locale.t('planting.plot-choice', { number, name, method: locale.t(`people.plot.method.${method}`) }),
    }))
    return show(request, reply, STATE, filled, { plotId: plots })
  }
}

interface SettingPage {
  title: string
  intro: string[]
  form: Form
  action: string
}

const RAIN_RULE: SettingPage = {
  title: 'planting.rain-rule.title',
  intro: ['planting.rain-rule.intro'],
  form: RainRuleForm,
  action: '/crops/settings/rain-rule',
}
const MONTH_TABLE: SettingPage = {
  title: 'planting.month-table.title',
  intro: ['planting.month-table.intro'],
  form: MonthTableForm,
  action: '/crops/settings/month-table',
}
const COEFFICIENTS: SettingPage = {
  title: 'planting.coefficients.title',
  intro: ['planting.coefficients.intro'],
  form: CoefficientForm,
  action: '/crops/settings/coefficients',
}
const STATE: SettingPage = {
  title: 'planting.state.title',
  intro: ['planting.state.intro'],
  form: StateForm,
  action: '/crops/settings/states',
}

const settingsPage = () => '/crops/settings'

function show(
  request: FastifyRequest,
  reply: FastifyReply,
  shown: SettingPage,
  filled: Filled,
  options: Record<string, { value: string; label: string }[]> = {},
) {
  return formPage({ request, reply }, { ...shown, filled, options, back: '/crops/settings' })
}
