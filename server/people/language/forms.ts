import { DIGITS } from '../../../domain/people/language.ts'
import { optional, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const LanguageForm = defineForm('language.own', {
  language: select(),
  digits: optional(select(DIGITS)),
})
