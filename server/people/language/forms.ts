import { DIGITS } from '../../../domain/people/language.ts'
import { date, lines, optional, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const LanguageForm = defineForm('language.own', {
  language: select(),
  digits: optional(select(DIGITS)),
})

export const GroupLanguageForm = defineForm('language.of-group', {
  language: { ...select(), words: 'language.own.language' },
  digits: { ...optional(select(DIGITS)), words: 'language.own.digits' },
  fromOn: date(),
})

/** A sentence with its names in braces; longer ones there are none. */
export const SentenceForm = defineForm('language.sentence', { words: lines({ max: 2000 }) })
