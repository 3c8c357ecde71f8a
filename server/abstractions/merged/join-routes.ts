import { InputError } from '../../../domain/input-error.ts'
import { joinHere } from '../../book/joining/join.ts'
import { askToJoin, dropFile, fileKept, keepFile, type WaitingFile } from '../../book/joining/waiting-file.ts'
import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { hasSecondName } from '../../people/person/grave-store.ts'
import { file } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, withInputError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { mayJoinWith } from './asked-state.ts'
import { previewOf, withOther } from './preview.ts'

const JoinForm = defineForm('works.join', { book: file() })
const TOLD_AT = '/log/check?as=joined'

/**
 * The file of another device's book is shown with what it would bring. A file can be written by anybody, so whoever brought it
 * does not join it alone: another officer reads the same and does. Where nobody else signs in, one joins it.
 */
export function addJoinPages({ get, post }: Pages): void {
  get('/book/join', 'group.set', (desk) => showForm(desk, emptyForm()))
  post('/book/join?as=look', 'group.set', showPreview, { wholeBook: true })
  post('/book/join', 'group.set', askOrJoin)
  post('/book/names/join/:id', 'money.see-own', joinWith)
  post('/book/names/joined/:id', 'office.give', writeApproval)
}

async function showPreview(desk: Desk) {
  const bytes = ((desk.body ?? {}) as Record<string, unknown>).book
  if (!Buffer.isBuffer(bytes) || bytes.length === 0) {
    return showForm(desk, withInputError(emptyForm(), 'book', new InputError('merge-no-book')))
  }
  try {
    const brings = await previewOf(desk, bytes)
    const key = keepFile(desk, { bytes, personId: desk.person.id })
    return page(desk, 'abstractions/join', {
      title: 'works.join-preview',
      key,
      joinsNothing: brings.brought === 0,
      needsSecond: await hasSecondName(desk),
      brings,
    })
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return showForm(desk, withInputError(emptyForm(), 'book', error))
  }
}

async function askOrJoin(desk: Desk) {
  const kept = fileKept(desk, desk.posted('key') ?? '')
  if (kept?.personId !== desk.person.id) throw new PageError(409, 'works.join-again')
  if (!(await hasSecondName(desk))) return join(desk, kept)
  askToJoin(desk, kept.key)
  return desk.reply.redirect(TOLD_AT, 303)
}

async function joinWith(desk: Desk<'id'>) {
  const kept = found(fileKept(desk, desk.params.id))
  if (!kept.isAsked || !(await mayJoinWith(desk, kept))) throw new PageError(403, 'error.page-403')
  return join(desk, kept)
}

/** Joined by whoever brought the file, with the name of whoever stands there under it where that is another. */
async function join(desk: Desk, { key, bytes, personId }: WaitingFile) {
  const joined = await withOther(bytes, desk.at, (other) =>
    write(
      desk,
      async (pen) => {
        const joiningId = await joinHere({ ...pen, writtenBy: personId }, other)
        if (personId !== pen.writtenBy) await approve({ ...pen, form: undefined }, joiningId)
      },
      () => TOLD_AT,
    ),
  )
  dropFile(desk, key)
  return joined
}

async function writeApproval(desk: Desk<'id'>) {
  const { id } = desk.params
  found(await desk.db.selectFrom('bookJoined').select('entryId').where('entryId', '=', id).executeTakeFirst())
  return write(
    desk,
    (pen) => approve(pen, id),
    () => TOLD_AT,
  )
}

function showForm(desk: Desk, filled: Filled) {
  return formPage(desk, {
    title: 'works.join-title',
    form: JoinForm,
    filled,
    action: '/book/join?as=look',
    submit: 'works.join-look',
    intro: ['works.join-how'],
    cautions: ['works.join-caution'],
    back: TOLD_AT,
  })
}
