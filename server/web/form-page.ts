import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Filled, Form } from './forms.ts'
import { page } from './page.ts'

export interface Option {
  value: string
  label: string
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
  cautions?: string[]
  back?: string
}

/** A page that is one form: shown empty, or again with what was typed and what is wrong (then with status 422). */
export async function formPage(request: FastifyRequest, reply: FastifyReply, shown: FormPage) {
  if (Object.keys(shown.filled.errors).length > 0) reply.code(422)
  return page(request, reply, 'form-page', { submit: 'layout.save', ...shown })
}
