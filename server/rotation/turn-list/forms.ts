import { PAUSE_CAUSES } from '../../../domain/rotation/turn-list.ts'
import { date, lines, optional, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const TurnListForm = defineForm('day.list', {
  fromOn: date(),
  perDay: whole({ min: 1, max: 50 }),
  plots: lines({ max: 4000 }),
})

export const PauseForm = defineForm('day.pause', {
  cause: select(PAUSE_CAUSES),
  fromOn: date(),
  untilOn: optional(date()),
  words: optional(text({ max: 80 })),
})
