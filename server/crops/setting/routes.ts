import { irrigationMethodByKey } from '../../../domain/crops/data/irrigation-methods.ts'
import { USUAL_RAIN_RULE } from '../../../domain/crops/demand/rain.ts'
import { USUAL_MOST_TURNS } from '../../../domain/crops/need/week-need.ts'
import { write } from '../../book/pen.ts'
import { listPlots } from '../../people/plot/store.ts'
import { emptyForm, type Filled, type Form, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { CoefficientForm, MONTHS, MonthTableForm, MostTurnsForm, RainRuleForm, STATES, StateForm } from './forms.ts'
import {
  type CropSettings,
  cropSettings,
  setCoefficientRule,
  setMonthTable,
  setMostTurns,
  setPlotState,
  setRainRule,
} from './store.ts'

/** What the group settled on for reckoning with crops: each row dated, the past keeps what held then. */
export function addSettingPages({ get, post }: Pages): void {
  get('/crops/figures', 'crops.see', showSettings)
  get('/crops/settle/rain', 'crops.declare', newRainRule)
  post('/crops/settle/rain', 'crops.declare', writeRainRule)
  get('/crops/settle/months', 'crops.declare', newMonthTable)
  post('/crops/settle/months', 'crops.declare', writeMonthTable)
  get('/crops/settle/place', 'crops.declare', newCoefficients)
  post('/crops/settle/place', 'crops.declare', writeCoefficients)
  get('/crops/settle/most-turns', 'crops.declare', newMostTurns)
  post('/crops/settle/most-turns', 'crops.declare', writeMostTurns)
  get('/crops/settle/watering', 'crops.declare', newState)
  post('/crops/settle/watering', 'crops.declare', writeState)
}

async function showSettings(desk: Desk) {
  const { today } = desk
  const settings = await cropSettings(desk.db, today)
  const plots = await listPlots(desk.db, today)
  return page(desk, 'crops/settings', {
    title: 'setting.settings.title',
    settings,
    months: MONTHS,
    usual: USUAL_RAIN_RULE,
    usualMostTurns: USUAL_MOST_TURNS,
    demand: demandInWords(desk, settings),
    mulches: plots.flatMap((plot) => {
      const mulch = settings.mulchOfPlot.get(plot.id)
      return mulch && mulch.kind !== 'none' ? [{ plot, ...mulch }] : []
    }),
    states: plots.flatMap((plot) => {
      const state = settings.stateOfPlot.get(plot.id)
      return state ? [{ plot, ...state }] : []
    }),
  })
}

function demandInWords({ t, format }: Desk, { demandRule: rule }: CropSettings): string[] {
  const { dryAirC = 0, hargreavesFactor = null } = rule ?? {}
  const factor = hargreavesFactor === null ? null : format.two(hargreavesFactor)
  return [
    dryAirC > 0 ? t('setting.settings.dry-air', { degrees: dryAirC }) : t('setting.settings.no-dry-air'),
    factor === null ? t('setting.settings.no-factor') : t('setting.settings.factor', { factor }),
    ...(rule ? [t('setting.settings.since', { date: format.date(rule.fromOn) })] : []),
  ]
}

async function newRainRule(desk: Desk) {
  const rule = (await cropSettings(desk.db, desk.today)).rainRule
  const { thresholdMm, fraction } = rule ?? USUAL_RAIN_RULE
  const values = { threshold: String(thresholdMm), percent: String(100 * fraction) }
  const missingRain = rule?.missingRain ?? 'cannot-say'
  return show(desk, RAIN_RULE, emptyForm({ ...values, missingRain, fromOn: desk.today }))
}

async function writeRainRule(desk: Desk) {
  const form = readForm(RainRuleForm, desk.body)
  if (!form.ok) return show(desk, RAIN_RULE, form)
  const { threshold, percent, missingRain, fromOn } = form.data
  const rule = { fromOn, thresholdMm: threshold, fraction: percent / 100, missingRain }
  return write(desk, (pen) => setRainRule(pen, rule), settingsPage)
}

async function newMonthTable(desk: Desk) {
  const table = (await cropSettings(desk.db, desk.today)).monthTable
  const months = table ? MONTHS.map((month, at) => [month, String(table.etoMmPerDay[at])]) : []
  const values = { ...Object.fromEntries(months), words: table?.words ?? '', fromOn: desk.today }
  return show(desk, MONTH_TABLE, emptyForm(values))
}

async function writeMonthTable(desk: Desk) {
  const form = readForm(MonthTableForm, desk.body)
  if (!form.ok) return show(desk, MONTH_TABLE, form)
  const { words, fromOn, ...months } = form.data
  const table = { words, fromOn, etoMmPerDay: MONTHS.map((month) => months[month]) }
  return write(desk, (pen) => setMonthTable(pen, table), settingsPage)
}

async function newCoefficients(desk: Desk) {
  const rule = (await cropSettings(desk.db, desk.today)).coefficientRule
  const values = {
    byClimate: rule?.byClimate ? 'yes' : '',
    wettingDays: rule?.wetting ? String(rule.wetting.days) : '',
    wettingMm: rule?.wetting ? String(rule.wetting.depthMm) : '',
    wettedPart: rule?.wettedPart ? 'yes' : '',
    fromOn: desk.today,
  }
  return show(desk, COEFFICIENTS, emptyForm(values))
}

async function writeCoefficients(desk: Desk) {
  const form = readForm(CoefficientForm, desk.body)
  if (!form.ok) return show(desk, COEFFICIENTS, form)
  const { byClimate, wettingDays: days, wettingMm: depthMm, wettedPart, fromOn } = form.data
  if ((days === null) !== (depthMm === null)) {
    const field = days === null ? 'wettingDays' : 'wettingMm'
    return show(desk, COEFFICIENTS, withError(form, field, 'planting.wrong.wetting-half'))
  }
  const wetting = days === null || depthMm === null ? null : { days, depthMm }
  if (wettedPart && !wetting) {
    return show(desk, COEFFICIENTS, withError(form, 'wettingDays', 'planting.wrong.wetted-part-alone'))
  }
  const rule = { fromOn, byClimate, wetting, wettedPart }
  return write(desk, (pen) => setCoefficientRule(pen, rule), settingsPage)
}

async function newMostTurns(desk: Desk) {
  const turns = (await cropSettings(desk.db, desk.today)).mostTurns?.turns ?? USUAL_MOST_TURNS
  return show(desk, MOST_TURNS, emptyForm({ turns: String(turns), fromOn: desk.today }))
}

async function writeMostTurns(desk: Desk) {
  const form = readForm(MostTurnsForm, desk.body)
  if (!form.ok) return show(desk, MOST_TURNS, form)
  const { turns, fromOn } = form.data
  return write(desk, (pen) => setMostTurns(pen, { fromOn, turns: Number(turns) }), settingsPage)
}

async function newState(desk: Desk) {
  const values = { plotId: desk.query.plotId ?? '', state: STATES[0], fromOn: desk.today }
  return showState(desk, emptyForm(values))
}

async function writeState(desk: Desk) {
  const form = readForm(StateForm, desk.body)
  if (!form.ok) return showState(desk, form)
  const { plotId, state, fromOn } = form.data
  const plot = (await listPlots(desk.db, fromOn)).find((one) => one.id === plotId)
  if (!plot) return showState(desk, withError(form, 'plotId', 'error.choose'))
  const method = irrigationMethodByKey(plot.method)
  if (state !== 'sound' && method?.troubled?.state !== state) {
    const values = { method: desk.t(`people.plot.method.${plot.method}`) }
    return showState(desk, withError(form, 'state', 'planting.wrong.state-of-other-method', values))
  }
  return write(desk, (pen) => setPlotState(pen, plotId, state, fromOn), settingsPage)
}

async function showState(desk: Desk, filled: Filled) {
  const { locale, today } = desk
  const plots = (await listPlots(desk.db, today)).map(({ id, number, name, method }) => ({
    value: id,
    label: locale.t('setting.plot-choice', { number, name, method: locale.t(`people.plot.method.${method}`) }),
  }))
  return show(desk, STATE, filled, { plotId: plots })
}

interface SettingPage {
  title: string
  intro: string[]
  form: Form
  action: string
}

const RAIN_RULE: SettingPage = {
  title: 'setting.rain-rule.title',
  intro: ['setting.rain-rule.intro'],
  form: RainRuleForm,
  action: '/crops/settle/rain',
}

const MONTH_TABLE: SettingPage = {
  title: 'setting.month-table.title',
  intro: ['setting.month-table.intro'],
  form: MonthTableForm,
  action: '/crops/settle/months',
}

const COEFFICIENTS: SettingPage = {
  title: 'setting.coefficients.title',
  intro: ['setting.coefficients.intro'],
  form: CoefficientForm,
  action: '/crops/settle/place',
}

const MOST_TURNS: SettingPage = {
  title: 'setting.most-turns.title',
  intro: ['setting.most-turns.intro'],
  form: MostTurnsForm,
  action: '/crops/settle/most-turns',
}

const STATE: SettingPage = {
  title: 'setting.state.title',
  intro: ['setting.state.intro'],
  form: StateForm,
  action: '/crops/settle/watering',
}

const settingsPage = () => '/crops/figures'

function show(
  desk: Desk,
  shown: SettingPage,
  filled: Filled,
  options: Record<string, { value: string; label: string }[]> = {},
) {
  return formPage(desk, { ...shown, filled, options, back: '/crops/figures' })
}
