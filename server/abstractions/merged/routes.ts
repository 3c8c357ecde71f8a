import { type FoundClash, listClashes, settleClash, wasEverJoined } from '../../book/merge/clash-store.ts'
import { write } from '../../book/pen.ts'
import type { ClashKind } from '../../book/rules/clash-kinds.ts'
import { text } from '../../web/forms/fields.ts'
import { defineForm, emptyForm, type Filled, readForm } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { filesWaiting } from './asked-state.ts'
import { broughtInName, waitingJoinings } from './joinings-store.ts'
import { type ToldEntry, tellEntry } from './words.ts'

const BothStandForm = defineForm('works.both-stand', { words: text({ max: 300 }) })
/** Clashes that tell who paid or owes are shown to those who may see it anyway. */
const OF_MONEY: ClashKind[] = ['same-receipt', 'same-charge']

/** After two books of the group were joined: what both wrote about the same thing, for a person to settle. */
export function addMergedPages({ get, post }: Pages): void {
  get('/log/check?as=joined', 'abstractions.see', showMerged)
  get('/log/settle/clash/:kind/:first/:second', 'abstraction.log', newSettling)
  post('/log/settle/clash/:kind/:first/:second', 'abstraction.log', writeSettling)
}

async function showMerged(desk: Desk) {
  const told = []
  for (const clash of await clashesFor(desk)) {
    const entries = [await tellEntry(desk, clash.entries[0]), await tellEntry(desk, clash.entries[1])]
    told.push({
      ...clash,
      entries,
      order: clash.kind === 'same-hour' ? 'by-asking' : orderOf(entries),
      canOpen: entries.some(({ href }) => href !== null),
    })
  }
  return page(desk, 'abstractions/merged', {
    title: 'works.merged-title',
    joined: await wasEverJoined(desk.db),
    files: await filesWaiting(desk),
    joinings: await waitingJoinings(desk),
    inName: await broughtInName(desk),
    person: desk.person,
    open: told.filter(({ settled, corrected }) => !settled && !corrected),
    closed: told.filter(({ settled, corrected }) => settled || corrected),
  })
}

type OfClash = Desk<'kind' | 'first' | 'second'>

async function newSettling(desk: OfClash) {
  return show(desk, await openOr404(desk), emptyForm())
}

async function writeSettling(desk: OfClash) {
  const clash = await openOr404(desk)
  const form = readForm(BothStandForm, desk.body)
  if (!form.ok) return show(desk, clash, form)
  const { kind, entryIds } = clash
  return write(
    desk,
    (pen) => settleClash(pen, { kind, entryIds, words: form.data.words }),
    () => '/log/check?as=joined',
  )
}

async function clashesFor({ db, may }: Desk): Promise<FoundClash[]> {
  const seesMoney = may('closing.see')
  return (await listClashes(db)).filter(({ kind }) => seesMoney || !OF_MONEY.includes(kind))
}

async function openOr404(desk: OfClash): Promise<FoundClash> {
  const { kind, first, second } = desk.params
  const clash = (await clashesFor(desk)).find(
    (one) => one.kind === kind && one.entryIds[0] === first && one.entryIds[1] === second,
  )
  return found(clash && !clash.settled ? clash : undefined)
}

/** Only draws have an order in which they can be charged and read; of anything else there is just the one and the other. */
function orderOf(entries: readonly ToldEntry[]): 'by-slip' | 'by-writing' | null {
  if (!entries.every(({ isDraw }) => isDraw)) return null
  return entries.every(({ slipNo }) => slipNo !== null) ? 'by-slip' : 'by-writing'
}

async function show(desk: Desk, { kind, entryIds: [first, second], entries }: FoundClash, filled: Filled) {
  const notes = []
  for (const one of entries) {
    const { words, writtenAt, writerName } = await tellEntry(desk, one)
    const by = { when: desk.format.instant(writtenAt), writer: writerName }
    notes.push(`${words}. ${desk.t('abstractions.entry.written-line', by)}`)
  }
  return formPage(desk, {
    title: 'works.both-stand-title',
    form: BothStandForm,
    filled,
    action: `/log/settle/clash/${kind}/${first}/${second}`,
    intro: ['works.both-stand-how'],
    notes,
    back: '/log/check?as=joined',
  })
}
