import type { Field } from '../web/fields.ts'
import type { TakeRow, Typing } from './paper-books.ts'
import { type Register, registerLine } from './register.ts'

/** A small register from paper: each row as its screen would have taken it. */
export function rowsOfRegister<F extends Record<string, Field>>(registerOf: (typing: Typing) => Register<F>) {
  return async (typing: Typing): Promise<TakeRow> => {
    const register = registerOf(typing)
    return (body) => registerLine(register, body, typing)
  }
}
