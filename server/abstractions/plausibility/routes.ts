import { write } from '../../book/pen.ts'
import { text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { findAbstraction, listAbstractions } from '../draw/store.ts'
import { flagWords } from './flags.ts'
import { oddOfSeason, openFlags, settleFlag } from './store.ts'

const SettleForm = defineForm('abstractions.settle', { words: text({ max: 300 }) })

/** Everything odd in the season's log that nobody has settled yet, and the words that settle it. */
export function addFlagPages({ get, post }: Pages): void {
  get('/log/check', 'abstractions.see', showFlags)
  get('/log/settle/odd/:id/:code', 'abstraction.log', newSettling)
  post('/log/settle/odd/:id/:code', 'abstraction.log', writeSettling)
}

async function showFlags(desk: Desk) {
  const { db, group, timeZone, t, format } = desk
  const { open, settled } = await oddOfSeason(db, { group, timeZone })
  const shown = open.map(({ draw, flag }) => ({ draw, code: flag.code, ...flagWords(t, format, flag) }))
  return page(desk, 'abstractions/flags', { title: 'abstractions.flags.title', open: shown, settled })
}

type OfFlag = Desk<'id' | 'code'>

async function newSettling(desk: OfFlag) {
  await openOr404(desk)
  return show(desk, emptyForm())
}

async function writeSettling(desk: OfFlag) {
  await openOr404(desk)
  const form = readForm(SettleForm, desk.body)
  if (!form.ok) return show(desk, form)
  const { id, code } = desk.params
  return write(
    desk,
    (pen) => settleFlag(pen, { subjectId: id, code, words: form.data.words }),
    () => '/log/check',
  )
}

async function openOr404({ db, params, timeZone }: OfFlag) {
  const { onDate } = found(await findAbstraction(db, params.id))
  const draws = await listAbstractions(db, { fromOn: onDate, toOn: onDate })
  const flags = await openFlags(db, { draws, timeZone })
  return found(flags.get(params.id)?.find((flag) => flag.code === params.code))
}

async function show(desk: OfFlag, filled: Filled) {
  const { id, code } = desk.params
  return formPage(desk, {
    title: 'abstractions.flags.settle-title',
    form: SettleForm,
    filled,
    action: `/log/settle/odd/${id}/${code}`,
    back: `/log/lines/drawn/${id}`,
  })
}
