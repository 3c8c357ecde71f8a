import type { Filled, Form } from '../forms/forms.ts'
import { type Asked, page } from './page.ts'

export interface Option {
  value: string
  label: string
}

/** A thing of the book that goes by a number and a name, as a choice. */
export function numberedOption({ id, number, name }: { id: string; number: number; name: string }): Option {
  return { value: id, label: `${number} ${name}` }
}

export interface FormPage {
  title: string
  titleValues?: Record<string, string | number>
  form: Form
  filled: Filled
  /** The choices of selects and ticks that come from the book, by field. */
  options?: Record<string, Option[]>
  hidden?: Record<string, string>
  action: string
  submit?: string
  /** Keys of sentences shown above the form. */
  intro?: string[]
  /** Sentences with figures, said above the form. */
  notes?: string[]
  cautions?: string[]
  back?: string
  /** Where one may rather want to go: a form beside this one. */
  beside?: { href: string; words: string }
  /** The form has a second button, which writes and opens the same form for the next one. */
  another?: boolean
}

/** A page that is one form: shown empty, or again with what was typed and what is wrong (then with status 422), in a view of its own where more stands beside it. */
export async function formPage(
  asked: Asked,
  shown: FormPage,
  { view = 'form-page', ...more }: { view?: string; [name: string]: unknown } = {},
) {
  if (Object.keys(shown.filled.errors).length > 0) asked.reply.code(422)
  return page(asked, view, {
    submit: 'layout.save',
    wasWritten: asked.request.query && (asked.request.query as Record<string, unknown>).after === 'written',
    ...shown,
    ...more,
  })
}
