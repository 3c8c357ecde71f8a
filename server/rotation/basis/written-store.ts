import { group } from 'd3-array'
import { sql } from 'kysely'
import { kept } from '../../book/kept-answers.ts'
import { readAhead } from '../../book/register/together.ts'
import { asWritten, standing } from '../../book/standing.ts'
import { beforeWritten, saidSince, turnsSaid } from './counted-store.ts'
import { levelsSince } from './level-store.ts'
import { askedForOthers, endedRequests, freeHours, hoursWritten, tickedUnlogged, ticksWritten } from './others-store.ts'
import { settledSince, settledWritten } from './settled-store.ts'
import { unmeteredSince } from './unmetered-store.ts'
import { weatherSince, weatherWritten } from './weather-store.ts'
import { change, isSince, type Since, type WrittenChange, wasSince } from './written-change.ts'

/** Rules and settings, crops, the ground, water from before the book, draws put right or metered by nobody, weather, turns called broken down or excused afterwards, and what was asked or kept free for others, as written since. */
export function writtenSince({ db, ...since }: Since): Promise<WrittenChange[]> {
  const asked = { ...since, unknown: [...since.unknown] }
  return kept(db, 'written since the last published week', asked, () => readWritten({ db, ...since }))
}

async function readWritten(since: Since): Promise<WrittenChange[]> {
  const { db } = since
  readAhead(
    db,
    ...[rulesWritten, settledWritten, cropsWritten, cropsStruck, writtenAboutCrops, laidWritten].map((of) => of(since)),
    ...[beforeWritten, drawsRighted, weatherWritten, turnsSaid, endedRequests].map((of) => of(since)),
    ...[hoursWritten, ticksWritten].map((of) => of(since)),
  )
  return [
    ...(await rules(since)),
    ...(await settledSince(since)),
    ...(await crops(since)),
    ...(await aboutCrops(since)),
    ...(await ground(since)),
    ...(await beforeWritten(since).execute()).map((row) =>
      change('before', { ...row, href: `/people/plots/${row.plotId}` }),
    ),
    ...(await draws(since)),
    ...(await unmeteredSince(since)),
    ...(await weatherSince(since)),
    ...(await levelsSince(since)),
    ...(await saidSince(since)).map(({ what, ...row }) => change(what, { ...row, href: `/log/days/${row.on}` })),
    ...(await askedForOthers(since)),
    ...(await freeHours(since)),
    ...(await tickedUnlogged(since)),
  ]
}

function cropsWritten(since: Since) {
  return since.db
    .selectFrom('cropPlan')
    .innerJoin('entry', 'entry.id', 'cropPlan.entryId')
    .select(['cropPlan.entryId', 'plotId', 'areaM2', 'sownOn'])
    .where(isSince(since))
    .where(standing('cropPlan'))
}

function cropsStruck(since: Since) {
  return since.db
    .selectFrom('entry')
    .innerJoin('cropPlan', 'cropPlan.entryId', 'entry.correctsId')
    .leftJoin('cropPlan as anew', 'anew.entryId', 'entry.id')
    .select(['entry.id as entryId', 'cropPlan.plotId', 'cropPlan.areaM2', 'cropPlan.sownOn'])
    .where(isSince(since))
    .where('anew.entryId', 'is', null)
}

async function crops(since: Since): Promise<WrittenChange[]> {
  const written = await cropsWritten(since).execute()
  const struck = await cropsStruck(since).execute()
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
async function aboutCrops(since: Since): Promise<WrittenChange[]> {
  const rows = await writtenAboutCrops(since).execute()
  return rows.map(({ what, planId, ...row }) => change(what, { ...row, href: `/crops/lines/crop/${planId}` }))
}

function writtenAboutCrops(since: Since) {
  const about = (what: 'crop-end' | 'class' | 'cover', table: 'cropEnd' | 'planClass' | 'planCover', day: string) =>
    since.db
      .selectFrom(table)
      .innerJoin('entry', 'entry.id', `${table}.entryId`)
      .innerJoin('cropPlan', 'cropPlan.entryId', `${table}.planId`)
      .select([sql.lit(what).as('what'), `${table}.entryId`, `${table}.planId`, 'cropPlan.plotId'])
      .select(sql.ref<string>(day).as('on'))
      .where(isSince(since))
      .where(standing(table))
  return about('crop-end', 'cropEnd', 'endedOn')
    .unionAll(about('class', 'planClass', 'fromOn'))
    .unionAll(about('cover', 'planCover', 'onDate'))
}

function laidWritten(since: Since) {
  const laid = (what: 'mulch' | 'state', table: 'plotMulch' | 'plotState') =>
    since.db
      .selectFrom(table)
      .innerJoin('entry', 'entry.id', `${table}.entryId`)
      .select([sql.lit(what).as('what'), `${table}.entryId`, 'plotId', 'fromOn as on'])
      .where(isSince(since))
      .where(standing(table))
  return laid('mulch', 'plotMulch').unionAll(laid('state', 'plotState'))
}

/** What lies on a plot, how well its watering works, and a description with another soil, watering or outlets than the one before. */
async function ground(since: Since): Promise<WrittenChange[]> {
  const rows = await laidWritten(since).execute()
  const found = rows.map(({ what, ...row }) => change(what, { ...row, href: `/crops/plots/${row.plotId}` }))
  const details = await since.db
    .selectFrom('plotDetail')
    .innerJoin('entry', 'entry.id', 'plotDetail.entryId')
    .select(['plotDetail.entryId', 'plotId', 'fromOn as on', 'soil', 'method', 'entry.seq'])
    .where(standing('plotDetail'))
    .orderBy(asWritten)
    .execute()
  const outlets = group(await since.db.selectFrom('plotOutlet').selectAll().execute(), ({ entryId }) => entryId)
  const groundOf = ({ entryId, soil, method }: (typeof details)[number]) => {
    const reached = (outlets.get(entryId) ?? []).map(({ outletId }) => outletId)
    return [soil, method, ...reached.toSorted()].join(' ')
  }
  for (const row of details.filter(wasSince(since))) {
    const earlier = details.findLast((one) => one.plotId === row.plotId && one.seq < row.seq)
    if (!earlier || groundOf(earlier) === groundOf(row)) continue
    const { entryId, plotId, on } = row
    found.push(change('ground', { entryId, plotId, on, href: `/people/plots/${plotId}` }))
  }
  return found
}

const rulesOf = (weekStartOn: string) =>
  [
    ['rule', 'sharing-rule', '/turns/rule'],
    ['choice', 'week-rule', `/turns/weeks/${weekStartOn}/compare`],
    ['own-crop', 'own-crop', '/crops/list'],
    ['sky', 'week-sky', `/turns/weeks/${weekStartOn}`],
  ] as const

function rulesWritten(since: Since) {
  return since.db
    .selectFrom('entry')
    .leftJoin('weekRule', 'weekRule.entryId', 'entry.id')
    .leftJoin('weekSky', 'weekSky.entryId', 'entry.id')
    .select(['entry.id', 'entry.kind'])
    .select(({ fn }) => fn.coalesce('weekRule.weekStartOn', 'weekSky.weekStartOn').as('weekStartOn'))
    .where(isSince(since))
    .where(
      'entry.kind',
      'in',
      rulesOf(since.weekStartOn).map(([, kind]) => kind),
    )
    .orderBy(asWritten)
}

/** The rule of all weeks or of this one, the sky expected in it, and figures of a crop of the group's own. */
async function rules(since: Since): Promise<WrittenChange[]> {
  const { weekStartOn } = since
  const rows = await rulesWritten(since).execute()
  return rulesOf(weekStartOn).flatMap(([what, kind, href]) => {
    const own = rows.filter((row) => row.kind === kind && (row.weekStartOn ?? weekStartOn) === weekStartOn)
    // The last one rules; those before it are on its page.
    return own.slice(-1).map(({ id }) => change(what, { entryId: id, plotId: null, href }))
  })
}

function drawsRighted(since: Since) {
  return since.db
    .selectFrom('entry')
    .innerJoin('abstraction as old', 'old.entryId', 'entry.correctsId')
    .leftJoin('abstraction as anew', 'anew.entryId', 'entry.id')
    .select(['entry.id as entryId', 'entry.correctsId as oldId', 'old.plotId as oldPlotId', 'old.onDate as on'])
    .select(['old.volumeM3 as was', 'anew.volumeM3 as is', 'anew.plotId as plotId', 'anew.entryId as anewId'])
    .select(['anew.onDate as anewOn', 'old.use'])
    .where(isSince(since))
    .where(({ not, exists, selectFrom }) =>
      not(exists(selectFrom('entry as later').select('later.id').whereRef('later.correctsId', '=', 'entry.id'))),
    )
}

/** Draws that were put right so that another plot, volume or day stands there, and those struck out. */
async function draws(since: Since): Promise<WrittenChange[]> {
  const rows = await drawsRighted(since).execute()
  return rows.flatMap(({ oldId, oldPlotId, anewId, anewOn, plotId, use, ...row }) => {
    const of = plotId ?? oldPlotId
    const isAlike = row.was === row.is && plotId === oldPlotId && row.on === anewOn
    // What people and animals fetch is kept by the heads that drink, whatever the log has of it.
    if (use === 'drinking' || use === 'stock' || (anewId !== null && isAlike)) return []
    const href = `/log/lines/drawn/${anewId ?? oldId}`
    const what = anewId === null ? 'draw-struck' : row.on === anewOn ? 'draw' : 'draw-moved'
    return [change(what, { ...row, plotId: of, href })]
  })
}
