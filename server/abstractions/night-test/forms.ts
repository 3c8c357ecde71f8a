import { date, type Field, number, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const length = () => text({ max: 12 })
const name = () => optional(text({ max: 40 }))

/** All valves shut first; then one line at a time opened against shut outlets. */
function nightFields(reading: () => Field<number>) {
  const shown = () => optional(reading())
  return {
    startLevel: reading(),
    endLevel: reading(),
    hours: length(),
    line1: name(),
    start1: shown(),
    end1: shown(),
    hours1: optional(length()),
    line2: name(),
    start2: shown(),
    end2: shown(),
    hours2: optional(length()),
    line3: name(),
    start3: shown(),
    end3: shown(),
    hours3: optional(length()),
    remark: optional(text({ max: 200 })),
  }
}

export const NightTestForm = defineForm('abstractions.night-test', {
  tankId: select(),
  onDate: date(),
  ...nightFields(() => number({ min: 0, max: 5000 })),
})

export const MeterNightForm = defineForm('works.meter-night', {
  pumpId: select(),
  onDate: date(),
  ...nightFields(() => number({ min: 0, max: 999_999_999 })),
})
