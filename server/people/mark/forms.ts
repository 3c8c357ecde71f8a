import { FRAMES, MARK_ASKED } from '../../../domain/people/mark/types.ts'
import { checks, optional, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const MarkForm = defineForm('mark.choice', {
  picture: text({ max: 20 }),
  frame: select(FRAMES),
  asked: optional(select(MARK_ASKED)),
})

export const StruckForm = defineForm('mark.struck', { pictures: checks() })
