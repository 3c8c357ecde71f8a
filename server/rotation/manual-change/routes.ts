import type { Id } from '../../../domain/id.ts'
import { applyChange } from '../../../domain/rotation/manual-change/week.ts'
import type { PlannedTurn } from '../../../domain/rotation/timetable/types.ts'
import type { ManualChange, ManualRefusal, NewManualChange } from '../../../domain/rotation/week/manual-change.ts'
import { NAME_NEEDED } from '../../book/name-needed.ts'
import { approve } from '../../book/names/approvals.ts'
import { write } from '../../book/pen.ts'
import { rareVolume, type WrittenVolume } from '../../people/measure/volume-state.ts'
import { rowsInSheets } from '../../web/figures/sheets.ts'
import { emptyForm, type Filled, readForm, withError } from '../../web/forms/forms.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found, PageError } from '../../web/pages/errors.ts'
import { type FormPage, formPage } from '../../web/pages/form-page.ts'
import { page } from '../../web/pages/page.ts'
import { outletsUnderPump } from '../../works/flow-test/store.ts'
import { listOutlets } from '../../works/pump/store.ts'
import { lessByTest } from '../at-outlet-state.ts'
import { clockMinute } from '../clock.ts'
import { customTurnRefusal } from '../custom-refusal.ts'
import { addAmendment, waitingAmendments } from '../published/amendment-store.ts'
import { restRefusal } from '../rest-refusal.ts'
import { volumeOptions, volumeTyped, type Wrong } from '../typed-volume.ts'
import { AnyTurnChangeForm, TurnAdditionForm, TurnChangeForm, WithdrawalForm } from './forms.ts'
import { additionPage, anyChangePage, changePage, withdrawalPage } from './pages.ts'
import { addManualChange, findChange, strikeManualChange } from './store.ts'
import { type ChangeableWeek, changeableWeek, plainTurns, turnById } from './week.ts'

/** The committee's own changes: on a draft they are laid into the planned week; after publication each is an amendment. */
export function addManualChangePages({ get, post }: Pages): void {
  get('/turns/weeks/:start/changes', 'week.publish', showTurns)
  get('/turns/weeks/:start/change', 'week.publish', newChange)
  post('/turns/weeks/:start/change', 'week.publish', writeChange)
  get('/turns/weeks/:start/change?as=add', 'week.publish', newAddition)
  post('/turns/weeks/:start/change?as=add', 'week.publish', writeAddition)
  post('/turns/names/by-hand/:id', 'week.publish', writeApproval)
  get('/turns/settle/take-back/:id', 'week.publish', newWithdrawal)
  post('/turns/settle/take-back/:id', 'week.publish', writeWithdrawal)
}

async function showTurns(desk: Desk<'start'>) {
  const week = await changeableWeek(desk)
  const turns = rowsInSheets(desk, 'turns', week.turns)
  return page(desk, 'rotation/manual-change/list', { title: 'manual-change.changes-title', week, turns })
}

async function newChange(desk: Desk<'start'>) {
  const week = await changeableWeek(desk)
  const empty = emptyForm({ kind: 'move' })
  if (!desk.query.turn) return withVolumes(desk, anyChangePage(desk, week, empty))
  const turn = turnById(week, desk.query.turn)
  const less = lessByTest(desk, turn, await outletsUnderPump(desk.db, desk.today))
  return withVolumes(desk, { ...changePage(desk, week, turn, empty), ...(less ? { notes: [less] } : {}) })
}

async function writeChange(desk: Desk<'start'>) {
  const week = await changeableWeek(desk)
  if (!desk.posted('turn')) return withVolumes(desk, anyChangePage(desk, week, readForm(AnyTurnChangeForm, desk.body)))
  const turn = turnById(week, desk.posted('turn'))
  const again = (filled: Filled) => withVolumes(desk, changePage(desk, week, turn, filled))
  const form = readForm(TurnChangeForm, desk.body)
  if (!form.ok) return again(form)
  const { kind } = form.data
  const read = await volumeOf(desk, form.data, turn.outletId)
  if ('field' in read) return again(withError(form, read.field, read.key, read.values))
  const rare = rareVolume(form, 'volume', 'water of a turn, m3', read.volumeM3)
  if (rare) return again(rare)
  const volume = read.volumeM3
  if (kind === 'lengthen' && volume === null) return again(withError(form, 'volume', 'error.missing'))
  const change = changeOf(turn, { ...form.data, volume })
  const rests = change.on && (await restRefusal(desk, { on: change.on, outletIds: [turn.outletId] }))
  if (rests && change.on !== turn.on) return again(withError(form, 'onDate', ...rests))
  const stays = change.on === turn.on && change.startMinute === turn.startMinute
  if (kind === 'move' && stays && volume === null)
    return again(withError(form, 'start', 'manual-change.nothing-changes'))
  const tried = tryChange(week, change)
  const free = kind === 'move' && !stays ? await customTurnRefusal(desk, change, tried) : null
  if (free) return again(withError(form, free.field, free.key, free.values))
  if ('refusal' in tried) {
    const field = kind === 'lengthen' ? 'volume' : tried.refusal === 'not-in-week' ? 'onDate' : 'start'
    return again(withError(form, field, `manual-change.refused-${tried.refusal}`))
  }
  return writeInto(desk, week, { change, turnId: turn.bookId, turn: tried.turn, typed: read.typed })
}

/** The volume that was typed, in m3; none where it stays. */
async function volumeOf(
  { db, today }: Desk<'start'>,
  { volume, volumeIn }: { volume: number | null; volumeIn: string | null },
  outletId: Id<'outlet'>,
): Promise<(Omit<WrittenVolume, 'volumeM3'> & { volumeM3: number | null }) | Wrong> {
  if (volume === null) return { volumeM3: null, typed: {} }
  const outlet = (await listOutlets(db, today)).find(({ id }) => id === outletId)
  const typing = { figure: volume, unit: volumeIn, today, outlet }
  return volumeTyped(db, typing, { figure: 'volume', unit: 'volumeIn', outlet: 'volumeIn' })
}

type Typed = NonNullable<ReturnType<typeof readForm<typeof TurnChangeForm.fields>>['data']>

/** What was typed, as a change of a turn; a field left empty leaves the turn as it is. */
function changeOf(turn: PlannedTurn, { kind, onDate, start, volume, reason }: Typed): NewManualChange {
  const same = { kind, plotId: turn.plotId, outletId: turn.outletId, wasOn: turn.on, reason }
  if (kind === 'drop') return { ...same, on: null, startMinute: null, volumeM3: null }
  if (kind === 'lengthen') return { ...same, on: turn.on, startMinute: turn.startMinute, volumeM3: volume }
  const startMinute = start ? clockMinute(start) : turn.startMinute
  return { ...same, on: onDate ?? turn.on, startMinute, volumeM3: volume }
}

/** A form that takes a volume in any measure. */
async function withVolumes(desk: Desk<'start'>, shown: FormPage) {
  return formPage(desk, { ...shown, options: { ...shown.options, volumeIn: await volumeOptions(desk) } })
}

async function newAddition(desk: Desk<'start'>) {
  return withVolumes(desk, additionPage(await changeableWeek(desk), emptyForm()))
}

async function writeAddition(desk: Desk<'start'>) {
  const week = await changeableWeek(desk)
  const again = (filled: Filled) => withVolumes(desk, additionPage(week, filled))
  const form = readForm(TurnAdditionForm, desk.body)
  if (!form.ok) return again(form)
  const { plotId, outletId, onDate, start, reason } = form.data
  const plot = week.inputs.plots.find((one) => one.id === plotId)
  if (!plot) return again(withError(form, 'plotId', 'error.choose'))
  if (!plot.outletIds.includes(outletId)) return again(withError(form, 'outletId', 'day.outlet-does-not-reach'))
  const read = await volumeOf(desk, form.data, outletId)
  if ('field' in read) return again(withError(form, read.field, read.key, read.values))
  const rare = rareVolume(form, 'volume', 'water of a turn, m3', read.volumeM3)
  if (rare) return again(rare)
  const rests = await restRefusal(desk, { on: onDate, outletIds: [outletId] })
  if (rests) return again(withError(form, 'onDate', ...rests))
  const change: NewManualChange = {
    kind: 'add',
    plotId,
    outletId,
    wasOn: null,
    on: onDate,
    startMinute: clockMinute(start),
    volumeM3: read.volumeM3,
    reason,
  }
  const tried = tryChange(week, change)
  const free = await customTurnRefusal(desk, change, tried)
  if (free) return again(withError(form, free.field, free.key, free.values))
  if ('refusal' in tried) {
    const field = tried.refusal.startsWith('beyond-') ? 'start' : 'onDate'
    return again(withError(form, field, `manual-change.refused-${tried.refusal}`))
  }
  return writeInto(desk, week, { change, turnId: null, turn: tried.turn, typed: read.typed })
}

async function writeApproval(desk: Desk<'id'>) {
  const change = found(await findChange(desk.db, desk.params.id))
  if (change.approvedByName !== null) throw new PageError(409, 'manual-change.already-approved')
  if (change.byId === desk.person.id) throw new PageError(409, 'manual-change.own-name')
  await mustStillFit(desk, change)
  return write(
    desk,
    (pen) => approve(pen, change.id),
    () => `/turns/weeks/${change.weekStartOn}`,
  )
}

/** A change to a published week is laid in with its second name, so it is tried once more in the week as it stands then. */
async function mustStillFit(desk: Desk<'id'>, { id, weekStartOn }: { id: string; weekStartOn: string }) {
  const change = (await waitingAmendments(desk.db, weekStartOn)).find((one) => one.id === id)
  if (!change) return
  const week = await changeableWeek({ ...desk, params: { start: weekStartOn } })
  const isThere = change.turnId === null || week.turns.some(({ bookId }) => bookId === change.turnId)
  if (!isThere || 'refusal' in tryChange(week, change)) throw new PageError(409, 'manual-change.no-longer-fits')
}

async function newWithdrawal(desk: Desk<'id'>) {
  return formPage(desk, withdrawalPage(await openChange(desk), emptyForm()))
}

async function writeWithdrawal(desk: Desk<'id'>) {
  const change = await openChange(desk)
  const form = readForm(WithdrawalForm, desk.body)
  if (!form.ok) return formPage(desk, withdrawalPage(change, form))
  return write(
    desk,
    (pen) => strikeManualChange(pen, change.id, form.data.reason),
    () => `/turns/weeks/${change.weekStartOn}`,
  )
}

/** A change of a draft may be taken back; what was published with a week stays. */
async function openChange({ db, params }: Desk<'id'>) {
  const change = found(await findChange(db, params.id))
  if (change.isFrozen) throw new PageError(409, 'manual-change.change-frozen')
  return change
}

/** The change laid into the turns as they stand now, so that what cannot be is told beside the field. */
function tryChange(
  week: ChangeableWeek,
  change: NewManualChange,
): { turn: PlannedTurn | null } | { refusal: ManualRefusal } {
  const who = { id: '', byName: '', byId: '', at: '', approvedByName: null }
  const changed = applyChange(week.inputs, plainTurns(week), { ...change, ...who } satisfies ManualChange)
  if ('refusal' in changed) return changed
  return { turn: changed.turns.find((turn) => turn.id === changed.turnId) ?? null }
}

interface NewlyChanged {
  change: NewManualChange
  turnId: Id<'turn'> | null
  turn: PlannedTurn | null
  /** How its volume was typed, where that was not in m3. */
  typed: WrittenVolume['typed']
}

function writeInto(
  desk: Desk,
  { weekStartOn, isPublished }: ChangeableWeek,
  { change, turnId, turn, typed }: NewlyChanged,
) {
  return write(
    desk,
    (pen) =>
      isPublished
        ? addAmendment(pen, { weekStartOn, turnId, change, turn }, { facts: () => ({ ...typed, ...NAME_NEEDED }) })
        : addManualChange(pen, weekStartOn, change, typed),
    () => `/turns/weeks/${weekStartOn}`,
  )
}
