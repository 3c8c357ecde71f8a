import { date, lines, number, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const ChamberForm = defineForm('storage.chamberForm', {
  shape: select(['round', 'box']),
  across: number({ min: 0.3, max: 20 }, 'side of a chamber, m'),
  otherSide: optional(number({ min: 0.3, max: 20 }, 'side of a chamber, m')),
  depth: number({ min: 0.3, max: 20 }, 'side of a chamber, m'),
  rimAboveCrest: number({ min: -15, max: 15 }, 'height beside a wall, m'),
  stopBelowRim: number({ min: 1, max: 2000 }, 'water in a chamber, cm'),
  fromOn: date(),
})

export const RefillForm = defineForm('storage.refill', {
  testedOn: date(),
  rest: number({ min: -100, max: 2000 }, 'water in a chamber, cm'),
  readings: lines({ max: 20_000 }),
  remark: optional(text({ max: 300 })),
})
