import { PART_STATES, WEIR_PARTS } from '../../../domain/water/inspection.ts'
import { date, optional, seldom, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const InspectionForm = defineForm('stream.inspection', {
  weirId: select(),
  seenOn: date(),
  part: select(WEIR_PARTS),
  state: select(PART_STATES),
  found: text({ max: 500 }),
  toDo: optional(text({ max: 500 })),
  nextOn: seldom(date()),
  inspectorId: seldom(select()),
})
