import type { FastifyRequest } from 'fastify'
import { may } from '../../domain/people/permissions.ts'
import { weekStartOf } from '../../domain/weeks.ts'
import { listClosings } from '../abstractions/closing/store.ts'
import { filesToJoin } from '../abstractions/merged/asked-state.ts'
import { unnamedJoinings } from '../abstractions/merged/joinings-store.ts'
import { hoursInDoubt } from '../abstractions/plausibility/hour-store.ts'
import { isJoined, openClashes } from '../book/merge/clash-store.ts'
import { waitingForNames, waitsForName } from '../book/name-needed.ts'
import { pageOfAct, TWO_NAME_ACTS } from '../book/names/acts.ts'
import { approvals } from '../book/names/approvals.ts'
import { listWithheld } from '../book/names/withheld-store.ts'
import { standing } from '../book/standing.ts'
import type { Database } from '../database/connection.ts'
import { type Asked, moneyAsked } from '../fees/pending-state.ts'
import { currentGroup } from '../people/group/store.ts'
import { listPlots } from '../people/plot/store.ts'
import { officerPlots } from '../rotation/constraint/officer-store.ts'
import { waitingAmendments } from '../rotation/published/amendment-store.ts'
import { weeksToChoose } from '../rotation/published/chosen-store.ts'
import { openSwaps } from '../rotation/swap/open-state.ts'
import { listTables } from '../water/sand/table-store.ts'
import type { Desk } from '../web/pages/desk.ts'
import { found } from '../web/pages/errors.ts'
import { namesShown } from '../web/pages/names.ts'

/** All that waits for this visitor's name or word, from every room, for the first page. */
export async function waitingFor(desk: Desk): Promise<Asked[]> {
  const { db, request } = desk
  return [
    ...(await moneyAsked(desk)),
    ...(await closingsAsked(db, request)),
    ...(await tablesAsked(db, request)),
    ...(await changesAsked(db, request)),
    ...(await swapsAsked(db, request)),
    ...(await heldBackAsked(desk)),
    ...(await joinedAsked(desk)),
    ...(await hoursAsked(desk)),
  ]
}

/** What others wrote at an hour that a clock in doubt told, and that hangs on it. */
async function hoursAsked(desk: Desk): Promise<Asked[]> {
  if (!desk.may('abstraction.log')) return []
  const count = (await hoursInDoubt(desk)).filter(({ isOwn }) => !isOwn).length
  return count > 0 ? [{ href: '/log/check', label: desk.t('home.asked-hours', { count }) }] : []
}

/** What two joined devices wrote differently, and what the other one brought that rules here. */
async function joinedAsked(desk: Desk): Promise<Asked[]> {
  const { db, t, format, person } = desk
  const mayName = desk.may('office.give')
  const joinings = (mayName ? await unnamedJoinings(db) : []).filter(({ writerId }) => writerId !== person.id).length
  const settles = desk.may('week.publish')
  // A book that only went on where this one stood has nothing that clashes, and still waits for a name.
  const clashes = settles && (await isJoined(db)) ? (await openClashes(db)).length : 0
  const asked = { 'works.clashes-asked': clashes, 'works.joining-asked': joinings }
  const weeks = (settles ? await weeksToChoose(db) : []).map((start) => ({
    href: `/turns/weeks/${start}/twice`,
    label: t('rotation.publications-asked', { on: format.date(start) }),
  }))
  const counted = Object.entries(asked).flatMap(([key, count]) =>
    count > 0 ? [{ href: '/log/check?as=joined', label: t(key, { count }) }] : [],
  )
  const files = (await filesToJoin(desk)).map(({ writerName }) => ({
    href: '/log/check?as=joined',
    label: t('works.join-asked', { name: writerName }),
  }))
  return [...files, ...weeks, ...counted]
}

/** What holds only with a second name and can be given one by the button alone: a stage of drought, the stream's rest days. */
async function heldBackAsked(desk: Desk): Promise<Asked[]> {
  const { db, t } = desk
  const asked = []
  for (const { id, kind, writerName } of await waitingForNames(db)) {
    if (!Object.hasOwn(TWO_NAME_ACTS, kind) || !(await namesShown(desk, id)).approveAt) continue
    asked.push({ href: pageOfAct(kind, id), label: t(`names.asked.${kind}`, { name: writerName }) })
  }
  return asked
}

function mayDo(request: FastifyRequest, permission: Parameters<typeof may>[0]['permission']): boolean {
  return may({ roles: request.person!.roles, permission })
}

/** Days and weeks of the log that somebody else has closed. */
async function closingsAsked(db: Database, request: FastifyRequest): Promise<Asked[]> {
  if (!mayDo(request, 'abstraction.log')) return []
  const [named, withheld] = [await approvals(db), await listWithheld(db)]
  const { format, locale } = request.visit
  return (await listClosings(db))
    .filter(({ id, writerId }) => !named.has(id) && !withheld.has(id) && writerId !== request.person!.id)
    .map(({ pumpNumber, fromOn, toOn }) => ({
      href: '/log/close',
      label: locale.t('home.asked-log', { pump: pumpNumber, from: format.date(fromOn), to: format.date(toOn) }),
    }))
}

async function tablesAsked(db: Database, request: FastifyRequest): Promise<Asked[]> {
  if (!mayDo(request, 'water.describe')) return []
  const waiting = (await listTables(db)).filter(
    (table) =>
      !table.approval &&
      !table.correctsId &&
      !table.declinedById &&
      !table.withheld &&
      table.writerId !== request.person!.id,
  )
  if (waiting.length === 0) return []
  const weirs = new Map(
    (await db.selectFrom('weir').select(['entryId', 'name']).execute()).map((weir) => [weir.entryId, weir.name]),
  )
  return waiting.map(({ id, weirId }) => ({
    href: `/water/names/table/${weirId}/${id}`,
    label: request.visit.locale.t('home.asked-table', { weir: weirs.get(weirId) ?? '' }),
  }))
}

/** Changes by hand to a turn of an officer, in weeks that are not over. */
async function changesAsked(db: Database, request: FastifyRequest): Promise<Asked[]> {
  const { today, format, locale } = request.visit
  if (!mayDo(request, 'week.publish')) return []
  const group = found(await currentGroup(db))
  const named = await approvals(db)
  const rows = await db
    .selectFrom('turnChange')
    .innerJoin('entry', 'entry.id', 'turnChange.entryId')
    .leftJoin('resharedTurn', 'resharedTurn.entryId', 'turnChange.entryId')
    .leftJoin('swappedTurn', 'swappedTurn.entryId', 'turnChange.entryId')
    .select(['turnChange.entryId as id', 'turnChange.weekStartOn', 'turnChange.plotId'])
    .where('turnChange.weekStartOn', '>=', weekStartOf(today, group))
    .where('entry.writtenBy', '<>', request.person!.id)
    .where('resharedTurn.entryId', 'is', null)
    .where('swappedTurn.entryId', 'is', null)
    .where(({ or }) => or([standing('turnChange'), waitsForName('turnChange')]))
    .execute()
  const asked: Asked[] = []
  for (const start of new Set(rows.map(({ weekStartOn }) => weekStartOn))) {
    const ofOfficers = await officerPlots(db, start, await listPlots(db, start))
    const own = rows.filter((row) => row.weekStartOn === start && !named.has(row.id) && ofOfficers.includes(row.plotId))
    const label = locale.t('home.asked-turn', { week: format.date(start), count: own.length })
    if (own.length > 0) asked.push({ href: `/turns/weeks/${start}`, label })
    const waiting = (await waitingAmendments(db, start)).filter(({ byId }) => byId !== request.person!.id)
    const count = waiting.filter(({ plotId }) => !ofOfficers.includes(plotId)).length
    const words = locale.t('home.asked-amendment', { week: format.date(start), count })
    if (count > 0) asked.push({ href: `/turns/weeks/${start}`, label: words })
  }
  return asked
}

/** Swaps and gifts in which the holder of an own plot has not spoken yet. */
async function swapsAsked(db: Database, request: FastifyRequest): Promise<Asked[]> {
  const { today, format, locale } = request.visit
  if (!mayDo(request, 'water.request')) return []
  const swaps = await openSwaps(db, found(await currentGroup(db)), today)
  if (swaps.length === 0) return []
  const plots = await listPlots(db, today)
  const own = new Set(
    plots.filter(({ holders }) => holders.some(({ id }) => id === request.person!.id)).map(({ id }) => id),
  )
  return swaps
    .filter(({ silent }) => silent.some((id) => own.has(id)))
    .map(({ turn, byName }) => ({
      href: '/turns/asked?as=swaps',
      label: locale.t('home.asked-swap', { name: byName, day: format.weekday(turn.on) }),
    }))
}
