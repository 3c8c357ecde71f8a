import { MULCHES } from '../../../domain/crops/crop/mulch.ts'
import { date, number, optional, select, text, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { MISSING_RAIN } from './store.ts'

export const RainRuleForm = defineForm('setting.rain-rule', {
  threshold: number({ min: 0, max: 50 }),
  percent: number({ min: 0, max: 100 }),
  missingRain: select(MISSING_RAIN),
  fromOn: date(),
})

const monthly = () => number({ min: 0, max: 20 }, 'evaporation of a day, mm')

export const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'] as const

export const MonthTableForm = defineForm('setting.month-table', {
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

export const CoefficientForm = defineForm('setting.coefficients', {
  byClimate: tick(),
  wettingDays: optional(number({ min: 0.5, max: 60 })),
  wettingMm: optional(number({ min: 1, max: 100 })),
  wettedPart: tick(),
  fromOn: date(),
})

export const MulchForm = defineForm('setting.mulch', {
  plotId: select(),
  kind: select(MULCHES),
  percent: number({ min: 0, max: 100 }),
  fromOn: date(),
})

const MOST_TURNS = ['1', '2', '3'] as const

export const MostTurnsForm = defineForm('setting.most-turns', {
  turns: select(MOST_TURNS),
  fromOn: date(),
})

/** More than half would be another kind of farming; a ground that needs it wants drains and advice. Own choice, no source. */
const MOST_WASHING_PERCENT = 50

export const SaltForm = defineForm('setting.salt', {
  percent: number({ min: 0, max: MOST_WASHING_PERCENT }),
  fromOn: date(),
})

export const STATES = ['sound', 'clogged', 'windy'] as const

export const StateForm = defineForm('setting.state', {
  plotId: select(),
  state: select(STATES),
  fromOn: date(),
})
