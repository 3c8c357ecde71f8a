import type { Field } from '../../web/forms/fields.ts'
import { type Register, registerLine } from '../../works/register/line.ts'
import type { TakeRow, Typing } from './types.ts'

/** A small register from paper: each row as its screen would have taken it. */
export function rowsOfRegister<F extends Record<string, Field>>(registerOf: (typing: Typing) => Register<F>) {
  return async (typing: Typing): Promise<TakeRow> => {
    const register = registerOf(typing)
    return (body) => registerLine(register, body, typing)
  }
}
