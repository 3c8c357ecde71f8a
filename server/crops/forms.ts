import { DATE_ORDERS } from '../web/figures/csv.ts'
import { date, file, lines, number, optional, select, text, tick } from '../web/forms/fields.ts'
import { defineForm } from '../web/forms/forms.ts'
import { OUTCOMES } from './plan/store.ts'
import { READING_LIMITS, type ReadingField } from './weather/reading-limits.ts'

const planFields = {
  plotId: select(),
  cropKey: select(),
  area: number({ min: 1, max: 1_000_000 }),
  sownOn: date(),
}

export const PlanForm = defineForm('crops.plan', planFields)

export const PlanCorrectionForm = defineForm('crops.plan', {
  ...planFields,
  struckOut: tick(),
  reason: text({ max: 200 }),
})

export const EndingForm = defineForm('crops.ending', {
  outcome: select(OUTCOMES),
  endedOn: date(),
  reason: optional(text({ max: 200 })),
})

const reading = (field: ReadingField) => optional(number(READING_LIMITS[field]))

export const WeatherForm = defineForm('crops.weather', {
  onDate: date(),
  tmaxC: reading('tmaxC'),
  tminC: reading('tminC'),
  rainMm: reading('rainMm'),
  rhMaxPct: reading('rhMaxPct'),
  rhMinPct: reading('rhMinPct'),
  windMPerS: reading('windMPerS'),
  windHeightM: reading('windHeightM'),
  sunHours: reading('sunHours'),
  radiationMjM2: reading('radiationMjM2'),
  reason: optional(text({ max: 200 })),
})

const column = () => optional(text({ max: 60 }))

/** The fields that name a column are called by the reading that stands in it. */
export const UploadForm = defineForm('crops.upload', {
  list: optional(file()),
  pasted: optional(lines()),
  dateOrder: select(DATE_ORDERS),
  onDate: text({ max: 60 }),
  tmaxC: column(),
  tminC: column(),
  rainMm: column(),
  rhMaxPct: column(),
  rhMinPct: column(),
  windMPerS: column(),
  windHeight: optional(number(READING_LIMITS.windHeightM)),
  sunHours: column(),
  radiationMjM2: column(),
})

/** Headings that the book offers for an own list. */
export const USUAL_COLUMNS = { onDate: 'date', tmaxC: 'max', tminC: 'min', rainMm: 'rain' }
