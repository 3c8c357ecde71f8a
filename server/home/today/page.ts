import { addDays, type CalendarDate, daysBetween } from '../../../domain/calendar.ts'
import { listSeals } from '../../book/check/seal.ts'
import { lastEntry } from '../../book/verify.ts'
import { ownSteps } from '../../people/warning/state.ts'
import { fairSeason } from '../../rotation/fairness/season-state.ts'
import { daysWithTurns } from '../../rotation/published/listed-store.ts'
import { hearCannotCome, hearTurn } from '../../rotation/spoken/state.ts'
import { streamPicture } from '../../water/overview/picture-state.ts'
import { waterStates } from '../../water/storage/state.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { localDate } from '../../web/pages/visit.ts'
import { waitingFor } from '../waiting.ts'
import { dueAtPump, flowTestsDue } from './attendant.ts'
import { writtenByOthers } from './by-others.ts'
import { dueForCommittee, PLAN_AHEAD_DAYS } from './committee.ts'
import type { Due, DueOf, Line } from './line.ts'
import { cardsOf, dueForHolder, dueForNeighbour } from './member.ts'
import { dueForAuditor, dueForTreasurer } from './money.ts'
import { type Now, nowOf } from './now.ts'

/** Whose matters come first where somebody has several offices: water that runs cannot wait. */
const OFFICES: readonly [role: string, due: DueOf][] = [
  ['attendant', dueAtPump],
  ['committee', dueForCommittee],
  ['treasurer', dueForTreasurer],
  ['auditor', dueForAuditor],
  ['member', dueForHolder],
  ['neighbour', dueForNeighbour],
]

/** It goes by the week. */
const SEAL_EVERY_DAYS = 7

/** Among so many days before today the auditor's day is drawn. */
const LOT_DAYS = 28

/** So many lines stand open; the others are folded. */
const OPEN_LINES = 4

/**
 * The first page of a person: one slip with the next thing to do (in a new book its next step), what else is due (before the own turns of whoever has an
 * office, after those of others), and the stream. What is not true is not shown.
 */
export async function todayOf(desk: Desk, step: Line | null) {
  const now = await nowOf(desk)
  const dues = await duesOf(desk, now)
  const cards = await withSounds(desk, await cardsOf(desk, now), now)
  const all: Line[] = [
    ...(step ? [step] : []),
    ...dues.flatMap((due) => (due.isHolders ? [] : due.lines)),
    ...(await ownSteps(desk)),
    ...(await asked(desk)),
    // A test can wait for a day; a name or a word that somebody waits for goes first.
    ...(desk.person.roles.includes('attendant') ? await flowTestsDue(desk) : []),
    ...dues.flatMap((due) => (due.isHolders ? due.lines : [])),
  ]
  // One thing may be due by two offices, or be the first step of another.
  const lines = all.filter(({ href }, at) => all.findIndex((one) => one.href === href) === at)
  // Who holds no office, and whose plot water runs to, looks for the own turn first, unless a crop is short before it.
  const isHolder = !OFFICES.slice(0, 4).some(([role]) => desk.person.roles.includes(role))
  const pressing = lines.findIndex(({ isPressing }) => isPressing)
  const ownRuns = cards.some(({ isRunning }) => isRunning)
  // At the pump a running turn is a line of its own, the own one too.
  const ownIsFirst = isHolder ? cards.length > 0 : ownRuns && !desk.person.roles.includes('attendant')
  const [first] = lines.splice(Math.max(pressing, 0), ownIsFirst && pressing < 0 ? 0 : 1)
  const slip = first ?? (ownIsFirst ? null : (dues[0]?.otherwise ?? null))
  return {
    hasOffice: !isHolder,
    // Of whoever has an office what is due comes first, unless water runs at the own plot.
    cardsFirst: isHolder || ownRuns,
    slip,
    apart: dues.flatMap(({ apart }) => (apart && apart.href !== slip?.href ? [apart] : [])),
    due: folded(lines),
    cards,
    records: await ownRecords(desk, now, isHolder),
    doors: await doorsOfToday(desk, now, cards.length > 0),
    byOthers: await writtenByOthers(desk),
    seal: await sealShown(desk),
    ...(await streamShown(desk)),
  }
}

/** A fold for one line alone would be no shorter than the line. */
function folded(lines: readonly Line[]) {
  const open = lines.length > OPEN_LINES + 1 ? OPEN_LINES : lines.length
  return { open: lines.slice(0, open), folded: lines.slice(open) }
}

/** Each card with what can be heard of it. */
async function withSounds(desk: Desk, cards: Awaited<ReturnType<typeof cardsOf>>, { ownTurns }: Now) {
  const cannotCome = cards.length > 0 ? await hearCannotCome(desk) : null
  const heard = ownTurns.map(async (turn) => [turn.bookId, await hearTurn(desk, turn)] as const)
  const byTurn = new Map(await Promise.all(heard))
  return cards.map((card) => ({ ...card, hear: byTurn.get(card.id) ?? null, hearCannotCome: cannotCome }))
}

/** When the last seal was set, for whoever answers for the book or looks it over. */
async function sealShown({ db, t, format, person, today, group }: Desk): Promise<string | null> {
  if (!person.roles.some((role) => role === 'committee' || role === 'auditor')) return null
  const [last] = await listSeals(db)
  if (!last) return t('paper.seal.first-page-none')
  const on = localDate(new Date(last.setAt), group.timeZone)
  const key = daysBetween(on, today) > SEAL_EVERY_DAYS ? 'paper.seal.first-page-due' : 'paper.seal.first-page'
  return t(key, { when: format.date(on) })
}

/** What is due by each office; an own plot's matters come after what waits for a name or a word. */
async function duesOf(desk: Desk, now: Now): Promise<(Due & { isHolders: boolean })[]> {
  const dues = []
  for (const [role, due] of OFFICES) {
    if (desk.person.roles.includes(role)) dues.push({ ...(await due(desk, now)), isHolders: role === 'member' })
  }
  return dues
}

/** What waits for a name or a word of the visitor. */
async function asked(desk: Desk): Promise<Line[]> {
  return (await waitingFor(desk)).map(({ label, href }) => ({
    picture: 'name',
    words: label,
    small: desk.t('today.your-name'),
    href,
  }))
}

async function streamShown(desk: Desk) {
  const states = await waterStates(desk.db, { on: desk.today })
  const weirs = states.map(({ weir, storage, reading, ageDays }) => ({
    ...weir,
    available: storage.cannotSay ? null : storage.available,
    readOn: reading?.readOn ?? null,
    ageDays,
  }))
  return { weirs, picture: streamPicture(states) }
}

type Door = [href: string, label: string, picture: string]

/** Two or three more doors for each office, under what is due; the tabs lead to all others. */
const DOORS: Record<string, Door[]> = {
  attendant: [
    ['/log?open=less', 'today.door-less', 'pump'],
    ['/log/faults', 'today.door-faults', 'again'],
  ],
  committee: [
    ['/turns/fair', 'today.door-fair', 'turns'],
    ['/water/lasts', 'today.door-lasts', 'water'],
    ['/water/went', 'today.door-went', 'water'],
  ],
  treasurer: [
    ['/money/pay', 'today.take-payment', 'money'],
    ['/money/members', 'today.door-owed', 'count'],
  ],
  auditor: [
    ['/money/agree?open=closed#closed', 'today.door-closed', 'count'],
    ['/paper/whole', 'today.door-whole', 'book'],
    ['/paper/changes', 'today.door-changes', 'name'],
  ],
  neighbour: [
    ['/water/went', 'today.door-went', 'water'],
    ['/water/stream', 'today.door-stream', 'today'],
  ],
}

/** Hours that nobody has, for whoever holds a plot and no office, while a week is published and no card of a turn leads there. */
const FREE_HOURS: Door = ['/turns/asked?as=free', 'day.slots-title', 'turns']

async function doorsOfToday(desk: Desk, { ownPlots, weeks }: Now, hasCards: boolean) {
  const { roles } = desk.person
  const ofOffice = Object.entries(DOORS).flatMap(([role, doors]) => (roles.includes(role) ? doors : []))
  const mayBook = ofOffice.length === 0 && ownPlots.length > 0 && weeks.isPublished.current && desk.may('water.request')
  const doors = [...ofOffice, ...(mayBook && !hasCards ? [FREE_HOURS] : [])]
  if (roles.includes('committee')) doors.push(...draftDoor(desk, weeks))
  if (roles.includes('auditor')) doors.unshift([`/log/days/${await dayByLot(desk)}`, 'today.door-day', 'log'])
  return doors.map(([href, label, picture]) => ({ href, label, picture }))
}

/** While the coming week is a draft: its turns are changed by hand from here once it is worked out, and looked at before. */
function draftDoor({ today }: Desk, { next, isPublished }: Now['weeks']): Door[] {
  if (isPublished.next) return []
  const isWorkedOut = daysBetween(today, next) <= PLAN_AHEAD_DAYS
  return isWorkedOut
    ? [[`/turns/weeks/${next}/change`, 'manual-change.changes-title', 'turns']]
    : [[`/turns/weeks/${next}`, 'today.door-draft', 'week']]
}

/** A day of the last four weeks that had turns, to be followed from the board to the money; nobody can tell beforehand which. */
async function dayByLot({ db, today }: Desk): Promise<CalendarDate> {
  const { lastHash } = await lastEntry(db)
  const lot = [...lastHash].reduce((sum, sign) => (sum * 31 + sign.charCodeAt(0)) % 1_000_003, 0)
  const days = await daysWithTurns(db, { fromOn: addDays(today, -LOT_DAYS), beforeOn: today })
  return days[lot % days.length] ?? addDays(today, -1)
}

/** What each own plot got of its part, over the weeks that are over; whoever has an office goes on to the plot for it. */
async function ownRecords({ db, parts, group, today, t, format }: Desk, { ownPlots }: Now, isHolder: boolean) {
  if (ownPlots.length === 0) return []
  const lines = isHolder ? (await fairSeason(db, parts.rotation, group, today)).fairness.plots : []
  return ownPlots.map(({ id, number }) => {
    const line = lines.find(({ plotId }) => plotId === id)
    return {
      at: number,
      plotId: id,
      words: t('today.own-plot', { number }),
      small: line ? t('today.own-part', { due: format.jerrycans(line.entitledM3) }) : t('today.own-record'),
      figure: line ? format.jerrycans(line.receivedM3) : '',
      href: `/turns/plots/${id}`,
    }
  })
}
