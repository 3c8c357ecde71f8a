import { emptyForm, type Filled } from '../../web/forms/forms.ts'
import { keptFrom, nextOr, type Repeated } from '../../web/pages/another.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { write } from '../pen.ts'
import { addLinePages } from './line-routes.ts'
import { type Fields, type Register, readLine } from './register.ts'

/** The form and the writing of one register, and the looking through and correcting of what was written. */
export function addRegister<F extends Fields>(pages: Pages, register: Register<F>): void {
  const { permission, lines } = register
  if (lines) addLinePages(pages, register, lines)
  pages.get(register.writtenAt, permission, (desk) => newLine(desk, register))
  pages.post(register.writtenAt, permission, (desk) => writeLine(desk, register))
}

async function newLine<F extends Fields>(desk: Desk, register: Register<F>) {
  const start = (await register.start?.(desk)) ?? {}
  return show(
    desk,
    register,
    emptyForm({ [register.onField]: desk.today, ...start, ...keptFrom(desk, repeated(register)) }),
  )
}

async function writeLine<F extends Fields>(desk: Desk, register: Register<F>) {
  const line = await readLine(register, desk.body, desk)
  if (!line.ok) return show(desk, register, line.form)
  return write(desk, line.write, () => nextOr(desk, repeated(register), register.back))
}

function repeated<F extends Fields>({ writtenAt, onField, keeps = [] }: Register<F>): Repeated {
  return { path: writtenAt, keeps: [onField, ...keeps] }
}

async function show<F extends Fields>(desk: Desk, register: Register<F>, filled: Filled) {
  return formPage(desk, {
    title: register.title,
    form: register.form(desk),
    filled,
    options: await register.options(desk, {}),
    action: register.writtenAt,
    intro: register.intro ?? [],
    cautions: register.cautions ?? [],
    back: register.back,
    another: true,
  })
}
