import { actOf, isTwoNameAct, pageOfAct, type TwoNameKind } from '../book/names/acts.ts'
import { approve, subjectOf } from '../book/names/approvals.ts'
import { withhold } from '../book/names/withheld-store.ts'
import { write } from '../book/pen.ts'
import { text } from '../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm } from '../web/forms/forms.ts'
import type { Desk, Pages } from '../web/pages/desk.ts'
import { found, PageError } from '../web/pages/errors.ts'
import { formPage } from '../web/pages/form-page.ts'
import { isAskedToName, namesShown } from '../web/pages/names.ts'

const WithholdingForm = defineForm('names.withholding', { reason: text({ max: 300 }) })

/** What waits for a name is declined by whoever could give it, or withdrawn by whoever wrote it; each with a reason. */
export function addWithholdingPages({ get, post }: Pages): void {
  get('/book/names/:id/withhold', 'money.see-own', async (desk) => {
    await mattersToThem(desk)
    return show(desk, emptyForm())
  })
  post('/book/names/:id/withhold', 'money.see-own', writeWithholding)
  post('/book/names/:id', 'money.see-own', writeApproval)
}

async function writeWithholding(desk: Desk<'id'>) {
  const { id } = desk.params
  const { kind } = await mattersToThem(desk)
  const form = readForm(WithholdingForm, desk.body)
  if (!form.ok) return show(desk, form)
  return write(
    desk,
    (pen) => withhold(pen, id, form.data.reason),
    () => pageOfAct(kind, id),
  )
}

/** A name under what holds by it alone; whatever moves something with its last name is named on its own page. */
async function writeApproval(desk: Desk<'id'>) {
  const { id } = desk.params
  const { kind } = await matterOf(desk)
  if (!actOf(kind).byItself) throw new PageError(404, 'error.page-404')
  if (!(await isAskedToName(desk, id, kind))) throw new PageError(403, 'error.page-403')
  return write(
    desk,
    (pen) => approve(pen, id),
    () => pageOfAct(kind, id),
  )
}

async function matterOf(desk: Desk<'id'>): Promise<{ kind: TwoNameKind; writtenBy: string }> {
  const { id } = desk.params
  const entry = found(
    await desk.db.selectFrom('entry').select(['kind', 'writtenBy']).where('id', '=', id).executeTakeFirst(),
  )
  if (!isTwoNameAct(entry.kind)) throw new PageError(404, 'error.page-404')
  return { kind: entry.kind, writtenBy: entry.writtenBy }
}

/** The entry, where this visitor may decline or withdraw it. */
async function mattersToThem(desk: Desk<'id'>) {
  const matter = await matterOf(desk)
  const names = await namesShown(desk, desk.params.id)
  if (names.withheld) throw new PageError(409, 'error.withheld-before')
  if (!names.waits) throw new PageError(409, 'error.withheld-too-late')
  if (!names.door) throw new PageError(403, 'error.page-403')
  return matter
}

async function show(desk: Desk<'id'>, filled: Filled) {
  const { id } = desk.params
  const { kind, writtenBy } = await subjectOf(desk.db, id)
  return formPage(desk, {
    title: `names.withholding.title-${writtenBy === desk.person.id ? 'withdraw' : 'decline'}`,
    form: WithholdingForm,
    filled,
    action: `/book/names/${id}/withhold`,
    submit: 'names.withholding.submit',
    intro: ['names.withholding.intro'],
    back: pageOfAct(kind, id),
  })
}
