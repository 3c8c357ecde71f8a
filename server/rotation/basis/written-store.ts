import { group } from 'd3-array'
import { sql } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import { asWritten, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import { holderIdsOn } from '../../people/plot/store.ts'
import { requestDetails } from '../request/detail-store.ts'
import { requestsFor } from '../request/store.ts'
import { saidBrokenDown, writtenBefore } from './counted-store.ts'

/** What was written and changes parts although the week that was published does not hold it line by line. */
export interface WrittenChange {
  /** Null for what holds for all. */
  plotId: Id<'plot'> | null
  what: Kind
  on: CalendarDate | null
  /** Land in m2, water in m3. */
  was: number | null
  is: number | null
  href: string
  entryId: string
}

type Kind =
  | 'crop'
  | 'crop-struck'
  | 'crop-end'
  | 'class'
  | 'cover'
  | 'mulch'
  | 'state'
  | 'ground'
  | 'before'
  | 'asked'
  | 'asked-end'
  | 'draw'
  | 'draw-struck'
  | 'broken'
  | 'rule'
  | 'choice'
  | 'own-crop'

interface Since {
  db: Database
  /** The place in the book of the week that was published last. */
  seq: number
  weekStartOn: CalendarDate
}

/** Rules, crops, the ground, water from before the book, draws put right, turns called broken down, and what was asked for others, as written since. */
export async function writtenSince(since: Since): Promise<WrittenChange[]> {
  const { db, seq } = since
  return [
    ...(await rules(since)),
    ...(await crops(since)),
    ...(await aboutCrops(since)),
    ...(await ground(since)),
    ...(await writtenBefore(db, seq)).map((row) => change('before', { ...row, href: `/people/plots/${row.plotId}` })),
    ...(await draws(since)),
    ...(await saidBrokenDown(db, seq)).map((row) => change('broken', { ...row, href: `/log/days/${row.on}` })),
    ...(await askedForOthers(since)),
  ]
}

async function crops({ db, seq }: Since): Promise<WrittenChange[]> {
  const written = await db
    .selectFrom('cropPlan')
    .innerJoin('entry', 'entry.id', 'cropPlan.entryId')
    .select(['cropPlan.entryId', 'plotId', 'areaM2', 'sownOn'])
    .where('entry.seq', '>', seq)
    .where(standing('cropPlan'))
    .execute()
  const struck = await db
    .selectFrom('entry')
    .innerJoin('cropPlan', 'cropPlan.entryId', 'entry.correctsId')
    .leftJoin('cropPlan as anew', 'anew.entryId', 'entry.id')
    .select(['entry.id as entryId', 'cropPlan.plotId', 'cropPlan.areaM2', 'cropPlan.sownOn'])
    .where('entry.seq', '>', seq)
    .where('anew.entryId', 'is', null)
    .execute()
  return [
    ...written.map(({ entryId, plotId, areaM2, sownOn }) =>
      change('crop', { entryId, plotId, on: sownOn, is: areaM2, href: `/crops/lines/crop/${entryId}` }),
    ),
    ...struck.map(({ entryId, plotId, areaM2, sownOn }) =>
      change('crop-struck', { entryId, plotId, on: sownOn, was: areaM2, href: `/crops/plots/${plotId}` }),
    ),
  ]
}

/** Endings, classes and seen covers of crops. */
async function aboutCrops({ db, seq }: Since): Promise<WrittenChange[]> {
  const kinds = [
    ['crop-end', 'cropEnd', 'endedOn'],
    ['class', 'planClass', 'fromOn'],
    ['cover', 'planCover', 'onDate'],
  ] as const
  const found: WrittenChange[] = []
  for (const [what, table, day] of kinds) {
    const rows = await db
      .selectFrom(table)
      .innerJoin('entry', 'entry.id', `${table}.entryId`)
      .innerJoin('cropPlan', 'cropPlan.entryId', `${table}.planId`)
      .select([`${table}.entryId`, `${table}.planId`, 'cropPlan.plotId', sql.ref<string>(`${day}`).as('on')])
      .where('entry.seq', '>', seq)
      .where(standing(table))
      .execute()
    found.push(...rows.map(({ planId, ...row }) => change(what, { ...row, href: `/crops/lines/crop/${planId}` })))
  }
  return found
}

/** What lies on a plot, how well its watering works, and a description with another soil, watering or outlets than the one before. */
async function ground({ db, seq }: Since): Promise<WrittenChange[]> {
  const found: WrittenChange[] = []
  for (const [what, table] of [
    ['mulch', 'plotMulch'],
    ['state', 'plotState'],
  ] as const) {
    const rows = await db
      .selectFrom(table)
      .innerJoin('entry', 'entry.id', `${table}.entryId`)
      .select([`${table}.entryId`, 'plotId', 'fromOn as on'])
      .where('entry.seq', '>', seq)
      .where(standing(table))
      .execute()
    found.push(...rows.map((row) => change(what, { ...row, href: `/crops/plots/${row.plotId}` })))
  }
  const details = await db
    .selectFrom('plotDetail')
    .innerJoin('entry', 'entry.id', 'plotDetail.entryId')
    .select(['plotDetail.entryId', 'plotId', 'fromOn as on', 'soil', 'method', 'entry.seq'])
    .where(standing('plotDetail'))
    .orderBy(asWritten)
    .execute()
  const outlets = group(await db.selectFrom('plotOutlet').selectAll().execute(), ({ entryId }) => entryId)
  const groundOf = ({ entryId, soil, method }: (typeof details)[number]) => {
    const reached = (outlets.get(entryId) ?? []).map(({ outletId }) => outletId)
    return [soil, method, ...reached.toSorted()].join(' ')
  }
  for (const row of details.filter((one) => one.seq > seq)) {
    const earlier = details.findLast((one) => one.plotId === row.plotId && one.seq < row.seq)
    if (!earlier || groundOf(earlier) === groundOf(row)) continue
    const { entryId, plotId, on } = row
    found.push(change('ground', { entryId, plotId, on, href: `/people/plots/${plotId}` }))
  }
  return found
}

/** The rule of all weeks or of this one, and figures of a crop of the group's own. */
async function rules({ db, seq, weekStartOn }: Since): Promise<WrittenChange[]> {
  const kinds = [
    ['rule', 'sharing-rule', '/turns/rule'],
    ['choice', 'week-rule', `/turns/weeks/${weekStartOn}/compare`],
    ['own-crop', 'own-crop', '/crops/list'],
  ] as const
  const rows = await db
    .selectFrom('entry')
    .leftJoin('weekRule', 'weekRule.entryId', 'entry.id')
    .select(['entry.id', 'entry.kind', 'weekRule.weekStartOn'])
    .where('entry.seq', '>', seq)
    .where(
      'entry.kind',
      'in',
      kinds.map(([, kind]) => kind),
    )
    .orderBy(asWritten)
    .execute()
  return kinds.flatMap(([what, kind, href]) => {
    const own = rows.filter((row) => row.kind === kind && (row.weekStartOn ?? weekStartOn) === weekStartOn)
    // The last one rules; those before it are on its page.
    return own.slice(-1).map(({ id }) => change(what, { entryId: id, plotId: null, href }))
  })
}

/** Draws that were put right so that another plot or another volume stands there, and those struck out. */
async function draws({ db, seq }: Since): Promise<WrittenChange[]> {
  const rows = await db
    .selectFrom('entry')
    .innerJoin('abstraction as old', 'old.entryId', 'entry.correctsId')
    .leftJoin('abstraction as anew', 'anew.entryId', 'entry.id')
    .select(['entry.id as entryId', 'entry.correctsId as oldId', 'old.plotId as oldPlotId', 'old.onDate as on'])
    .select(['old.volumeM3 as was', 'anew.volumeM3 as is', 'anew.plotId as plotId', 'anew.entryId as anewId'])
    .where('entry.seq', '>', seq)
    .where(({ not, exists, selectFrom }) =>
      not(exists(selectFrom('entry as later').select('later.id').whereRef('later.correctsId', '=', 'entry.id'))),
    )
    .execute()
  return rows.flatMap(({ oldId, oldPlotId, anewId, plotId, ...row }) => {
    const of = plotId ?? oldPlotId
    if (of === null || (anewId !== null && row.was === row.is && plotId === oldPlotId)) return []
    const href = `/log/lines/drawn/${anewId ?? oldId}`
    return [change(anewId === null ? 'draw-struck' : 'draw', { ...row, plotId: of, href })]
  })
}

/** What cuts a plot's part and was not asked by whoever holds it: so much and no more, hours that cannot be, or no longer anything. */
async function askedForOthers({ db, seq, weekStartOn }: Since): Promise<WrittenChange[]> {
  const holders = await holderIdsOn(db, weekStartOn)
  const isOthers = (plotId: Id<'plot'>, byId: string) => !(holders.get(plotId) ?? []).includes(byId)
  const asked = (await requestsFor(db, weekStartOn)).filter((one) => isOthers(one.plotId, one.askedById))
  const details = await requestDetails(
    db,
    asked.map(({ id }) => id),
  )
  const cuts = asked.filter(
    ({ id, volumeM3 }) => volumeM3 !== null || details.get(id)?.times.some(({ kind }) => kind === 'impossible'),
  )
  const ended = await db
    .selectFrom('standingRequest')
    .innerJoin('entry', 'entry.id', 'standingRequest.entryId')
    .select(['standingRequest.entryId', 'plotId', 'untilOn as on', 'entry.writtenBy'])
    .where('entry.seq', '>', seq)
    .where('untilOn', 'is not', null)
    .where(standing('standingRequest'))
    .execute()
  const lasting = await db
    .selectFrom('entry')
    .select('id')
    .where('seq', '<=', seq)
    .where('kind', '=', 'standing-request')
    .execute()
  const told = new Set(lasting.map(({ id }) => id))
  const href = '/turns/asked'
  return [
    ...cuts
      .filter(({ id }) => !told.has(id))
      .map(({ id, plotId, volumeM3 }) => change('asked', { entryId: id, plotId, is: volumeM3, href })),
    ...ended
      .filter(({ plotId, writtenBy }) => isOthers(plotId, writtenBy))
      .map(({ writtenBy: _, ...row }) => change('asked-end', { ...row, href })),
  ]
}

function change(
  what: WrittenChange['what'],
  known: Pick<WrittenChange, 'plotId' | 'href' | 'entryId'> & Partial<WrittenChange>,
): WrittenChange {
  return { on: null, was: null, is: null, ...known, what }
}
