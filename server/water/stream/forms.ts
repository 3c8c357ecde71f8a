import { minuteField } from '../../people/decision/state.ts'
import { checks, date, lines, number, optional, select, text, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const WEEKDAYS = ['1', '2', '3', '4', '5', '6', '7'] as const
const MONTH_STARTS = [
  '01-01',
  '02-01',
  '03-01',
  '04-01',
  '05-01',
  '06-01',
  '07-01',
  '08-01',
  '09-01',
  '10-01',
  '11-01',
  '12-01',
] as const

export const ShareForm = defineForm('stream.share', {
  restDays: checks(WEEKDAYS),
  restWeirs: checks(),
  permit: optional(number({ min: 0.1, max: 1_000_000_000 })),
  permitYearStart: optional(select(MONTH_STARTS)),
  warnPart: number({ min: 10, max: 99 }),
  words: optional(text({ max: 300 })),
  fromOn: date(),
  minute: optional(minuteField()),
})

export const SetAsideForm = defineForm('stream.set-aside', {
  onDate: date(),
  weirId: optional(select()),
  reason: text({ max: 300 }),
})

export const ShutForm = defineForm('stream.shut', {
  weirId: select(),
  shutBelowLevel: optional(number({ min: -500, max: 9000 })),
  words: text({ max: 300 }),
  fromOn: date(),
  minute: optional(minuteField()),
})

const common = { onDate: date(), atTime: time(), place: text({ max: 120 }) }

export const FloatForm = defineForm('stream.gauging', {
  ...common,
  length: number({ min: 1, max: 200 }),
  times: lines({ max: 2000 }),
  soundings: lines({ max: 20_000 }),
  surfaceFactor: optional(number({ min: 0.3, max: 1 })),
  remark: optional(text({ max: 300 })),
})

export const BucketForm = defineForm('stream.gauging', {
  ...common,
  litres: number({ min: 0.5, max: 5000 }, 'container, litres'),
  fillings: lines({ max: 2000 }),
  remark: optional(text({ max: 300 })),
})
