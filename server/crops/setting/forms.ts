import { checks, date, number, optional, select, text, tick, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { READING_LIMITS } from '../weather/reading-limits.ts'
import { MISSING_RAIN } from './store.ts'

export const RainRuleForm = defineForm('planting.rain-rule', {
  threshold: number({ min: 0, max: 50 }),
  percent: number({ min: 0, max: 100 }),
  missingRain: select(MISSING_RAIN),
  fromOn: date(),
})

const monthly = () => number({ min: 0, max: 20 })

export const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'] as const

export const MonthTableForm = defineForm('planting.month-table', {
  jan: monthly(),
  feb: monthly(),
  mar: monthly(),
  apr: monthly(),
  may: monthly(),
  jun: monthly(),
  jul: monthly(),
  aug: monthly(),
  sep: monthly(),
  oct: monthly(),
  nov: monthly(),
  dec: monthly(),
  words: text({ max: 200 }),
  fromOn: date(),
})

export const CoefficientForm = defineForm('planting.coefficients', {
  byClimate: tick(),
  wettingDays: optional(number({ min: 0.5, max: 60 })),
  wettingMm: optional(number({ min: 1, max: 100 })),
  wettedPart: tick(),
  fromOn: date(),
})

export const STATES = ['sound', 'clogged', 'windy'] as const

export const StateForm = defineForm('planting.state', {
  plotId: select(),
  state: select(STATES),
  fromOn: date(),
})

export const GaugeForm = defineForm('planting.gauge', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
})

export const GaugeRainForm = defineForm('planting.gauge-rain', {
  onDate: date(),
  rainMm: number(READING_LIMITS.rainMm),
  reason: optional(text({ max: 200 })),
})

/** `book` leads the plots back to the rain of the weather book. */
export const PlotGaugeForm = defineForm('planting.plot-gauge', {
  gaugeId: select(),
  plotIds: checks(undefined, { atLeast: 1 }),
  fromOn: date(),
})
