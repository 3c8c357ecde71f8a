import type { PaperBook } from '../../web/pages/paper-book.ts'
import { type Fields, type Register, readLine } from './register.ts'

/** A small register from paper: each row as its screen would have taken it. */
export function registerOnPaper<F extends Fields>(
  register: Register<F>,
  { name, head, boxes }: { name: string; head: readonly string[]; boxes?: Record<string, number> },
): PaperBook {
  return {
    name,
    sheet: (desk) => ({ form: register.form(desk), head, boxes }),
    typing: {
      permission: register.permission,
      rows: async (desk) => (body) => readLine(register, body, desk),
    },
  }
}
