import { expect, it } from 'vitest'
import { checks, text } from '../../../server/web/forms/fields.ts'
import { defineForm, readForm } from '../../../server/web/forms/forms.ts'

/** A zero byte in an id was seen to end a form with an error of ours instead of a sentence. */
it('leaves out signs that no keyboard types, in a list of crosses too', () => {
  const form = defineForm('any', { outletIds: checks(), name: text() })
  const read = readForm(form, { outletIds: ['a\0b', 'c\u001b'], name: 'd\0e' })
  expect(read.data).toEqual({ outletIds: ['ab', 'c'], name: 'de' })
})
