import { rollup } from 'd3-array'
import { InputError } from '../../../domain/input-error.ts'
import { newId } from '../../book/entries.ts'
import { joinHere } from '../../book/joining/join.ts'
import { openOtherBook } from '../../book/joining/other-book.ts'
import { clashesOf } from '../../book/merge/clashes.ts'
import { mergePlan } from '../../book/merge/plan.ts'
import { broughtBy, rulingsAmong } from '../../book/merge/rulings.ts'
import { readBook } from '../../book/merge/whole-entry.ts'
import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import type { Database } from '../../database/connection.ts'
import { file } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, withInputError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { broughtByWriter, tellRulings } from './joinings-store.ts'

const JoinForm = defineForm('works.join', { book: file() })

/** The file of another device's book is shown with what it would bring, and then joined into this one. */
export function addJoinPages({ get, post }: Pages): void {
  const stash = new Stash()
  get('/book/join', 'group.set', (desk) => showForm(desk, emptyForm()))
  post('/book/join?as=look', 'group.set', (desk) => showPreview(desk, stash), { wholeBook: true })
  post('/book/join', 'group.set', (desk) => writeJoining(desk, stash))
  post('/book/names/joined/:id', 'office.give', writeApproval)
}

async function showPreview(desk: Desk, stash: Stash) {
  const { at, person } = desk
  const bytes = ((desk.body ?? {}) as Record<string, unknown>).book
  if (!Buffer.isBuffer(bytes) || bytes.length === 0) {
    return showForm(desk, withInputError(emptyForm(), 'book', new InputError('merge-no-book')))
  }
  try {
    const brings = await withOther(bytes, desk.at, (other) => previewOf(desk, other))
    const key = stash.keep(bytes, { personId: person.id, at })
    return page(desk, 'abstractions/join', {
      title: 'works.join-preview',
      key,
      joinsNothing: brings.brought === 0,
      ...brings,
    })
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return showForm(desk, withInputError(emptyForm(), 'book', error))
  }
}

async function previewOf(desk: Desk, other: Database) {
  const [own, theirs] = [await readBook(desk.db), await readBook(other)]
  const { onlyOne, onlyOther, shared } = mergePlan(own, theirs)
  const brought = broughtBy(own, theirs)
  const clashes = clashesOf(broughtBy(theirs, own), brought)
  const kinds = rollup(
    clashes,
    (same) => same.length,
    ({ kind }) => kind,
  )
  return {
    onlyHere: onlyOne,
    brought: onlyOther,
    shared,
    clashes: [...kinds].map(([kind, count]) => ({ words: desk.t(`works.clash.${kind}`), count })),
    writers: broughtByWriter(desk, (key) => desk.locale.has(key), brought, await namesIn(other)),
    rulings: await tellRulings(desk, other, rulingsAmong(brought)),
  }
}

async function namesIn(other: Database): Promise<Map<string, string>> {
  const persons = await other.selectFrom('person').select(['entryId', 'name']).execute()
  return new Map(persons.map(({ entryId, name }) => [entryId, name]))
}

async function writeJoining(desk: Desk, stash: Stash) {
  const bytes = stash.find(desk.posted('key') ?? '', { personId: desk.person.id, at: desk.at })
  if (!bytes) throw new PageError(409, 'works.join-again')
  return withOther(bytes, desk.at, (other) =>
    write(
      desk,
      (pen) => joinHere(pen, other),
      () => '/log/check?as=joined',
    ),
  )
}

async function writeApproval(desk: Desk<'id'>) {
  const { id } = desk.params
  found(await desk.db.selectFrom('bookJoined').select('entryId').where('entryId', '=', id).executeTakeFirst())
  return write(
    desk,
    (pen) => approve(pen, id),
    () => '/log/check?as=joined',
  )
}

async function withOther<T>(bytes: Buffer, at: Date, work: (other: Database) => Promise<T>): Promise<T> {
  const other = await openOtherBook(bytes, at)
  try {
    return await work(other)
  } finally {
    await other.destroy()
  }
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
    back: '/log/check?as=joined',
  })
}

const MOST = 2
const MINUTES_KEPT = 60

interface Stashed {
  bytes: Buffer
  personId: string
  untilMs: number
}

/** Files of other devices between their preview and their joining: a few, for a while, each for whoever brought it. */
class Stash {
  private readonly files = new Map<string, Stashed>()

  keep(bytes: Buffer, { personId, at }: { personId: string; at: Date }): string {
    while (this.files.size >= MOST) this.files.delete(this.files.keys().next().value!)
    const key = newId()
    this.files.set(key, { bytes, personId, untilMs: at.getTime() + MINUTES_KEPT * 60_000 })
    return key
  }

  /** Undefined when it was kept too long, by somebody else, or before the app was started anew. */
  find(key: string, { personId, at }: { personId: string; at: Date }): Buffer | undefined {
    const file = this.files.get(key)
    return file && file.personId === personId && file.untilMs > at.getTime() ? file.bytes : undefined
  }
}
