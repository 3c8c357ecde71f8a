import { expect, it } from 'vitest'
import { file, password, text } from '../../../server/web/forms/fields.ts'
import { defineForm, readForm } from '../../../server/web/forms/forms.ts'

const form = defineForm('any', { name: text(), word: password(), list: file() })

it('takes what no hand meant to type off a name, and leaves a password and a file as they are', () => {
  const word = ' two  words\u0007 '
  const list = '  first line\u0000\n'
  const read = readForm(form, { name: ' Ama\u0000 \t', word, list: Buffer.from(list) })
  expect(read).toMatchObject({ ok: true, data: { name: 'Ama', word, list } })
})
