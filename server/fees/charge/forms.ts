import { date, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

/** Posting charges asks for no typing: it carries what was seen, so that only what was seen is posted. */
export const ChargesForm = defineForm('fees.charges', { toOn: date(), seen: text({ max: 64 }) })
