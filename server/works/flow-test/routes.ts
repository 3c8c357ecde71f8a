import { write } from '../../book/pen.ts'
import { addRegister } from '../../book/register/routes.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { addFlowTest, listOutlets, type Outlet } from '../pump/store.ts'
import { FlowTestForm } from './forms.ts'
import { flowTestRegister } from './register.ts'
import { outletsToTest, retestDueOn, testsByOutlet } from './store.ts'
import { nameForTest } from './unnamed-store.ts'

/** Flow tests with bucket and watch: the history of every outlet, what fell by a fifth, and what is due again. */
export function addFlowTestPages(pages: Pages): void {
  pages.get('/log/tests', 'abstractions.see', showTests)
  addRegister(pages, flowTestRegister)
  pages.get('/works/settle/flow/:id', 'works.describe', newFlow)
  pages.post('/works/settle/flow/:id', 'works.describe', writeFlow)
}

async function showTests(desk: Desk) {
  const { db, today } = desk
  const tests = await testsByOutlet(db)
  const toTest = new Set((await outletsToTest(db, today)).map(({ id }) => id))
  const outlets = (await listOutlets(db, today)).map((outlet) => {
    const lines = tests.get(outlet.id) ?? []
    const dueOn = lines[0] ? retestDueOn(lines[0]) : null
    return { ...outlet, lines, dueOn, isDue: toTest.has(outlet.id) }
  })
  return page(desk, 'works/flow-tests', { title: 'abstractions.flow-tests.title', outlets })
}

async function newFlow(desk: Desk<'id'>) {
  return show(desk, await outletOr404(desk), emptyForm({ testedOn: desk.today }))
}

async function writeFlow(desk: Desk<'id'>) {
  const outlet = await outletOr404(desk)
  const form = readForm(FlowTestForm, desk.body)
  if (!form.ok) return show(desk, outlet, form)
  const { testedOn, flow } = form.data
  if (testedOn > desk.today) return show(desk, outlet, withError(form, 'testedOn', 'error.day-to-come'))
  const test = { outletId: outlet.id, testedOn, flowM3PerH: flow }
  const named = await nameForTest(desk.db, test)
  return write(
    desk,
    (pen) => addFlowTest(pen, test, named),
    () => `/works/outlets/${outlet.id}`,
  )
}

async function outletOr404({ db, params, today }: Desk<'id'>): Promise<Outlet> {
  return found((await listOutlets(db, today)).find((outlet) => outlet.id === params.id))
}

async function show(desk: Desk, { id, number }: Outlet, filled: Filled) {
  return formPage(desk, {
    title: 'people.outlet.test-title',
    titleValues: { number },
    form: FlowTestForm,
    filled,
    action: `/works/settle/flow/${id}`,
    back: `/works/outlets/${id}`,
  })
}
