import { group } from 'd3-array'
import { type RawBuilder, sql } from 'kysely'
import type { CalendarDate } from '../../domain/calendar.ts'
import type { Database } from '../database/connection.ts'
import { inFile } from '../database/names.ts'
import type { FactTables } from '../database/schema.ts'
import { kept } from './kept-answers.ts'
import { asWritten, standing } from './standing.ts'

/** Every setting that holds from a day on, and the beginning of the addresses on which it is read. */
const DATED_SETTINGS = {
  drinkingCaution: '/water/kept',
  waterSetting: '/water/kept',
  waterUser: '/water/kept',
  coverTerm: '/water/working/lasts/',
  outlookSetting: '/water/lasts',
  streamShare: '/water/stream',
  shutMark: '/water/stream',
  chamber: '/water/working/chamber/',
  rainRule: '/crops/figures',
  demandRule: '/crops/figures',
  mostTurns: '/crops/figures',
  saltWashing: '/crops/figures',
  coefficientRule: '/crops/figures',
  monthTable: '/crops/figures',
  plotState: '/crops/figures',
  plotMulch: '/crops/figures',
  plotGauge: '/crops/weather',
  floatLimit: '/money/vouchers',
  payerClass: '/money/charges',
  turnLength: '/works',
  linePosition: '/works',
  outletFilling: '/works',
  outletPair: '/works',
  holderGroup: '/turns/fair',
  plotHousehold: '/turns/rule',
  planClass: '/turns/rule',
  sharingRule: '/turns/rule',
  urgentQuota: '/turns/asked',
  shortDayRule: '/log/days',
  turnList: '/turns/lists',
  tankUse: '/works?as=tanks',
  tankOutlet: '/works?as=tanks',
  personRole: '/people',
  personLeft: '/people',
  marketWeek: '/people/market-weeks',
  groupMeasure: '/people/measures',
  groupLanguage: '/people/languages',
  livesTogether: '/people/households',
  quorumRule: '/people/decisions',
  arrearsRule: '/people/decisions',
  conductRule: '/people/warnings',
  plotOwner: '/people/plots/',
} as const satisfies Partial<Record<keyof FactTables, string>>

type DatedSetting = keyof typeof DATED_SETTINGS

/** Columns that name a thing or a person, and the table that has its number and its name. */
const NAMED = {
  weirId: 'weir',
  plotId: 'plot',
  outletId: 'outlet',
  outletAId: 'outlet',
  outletBId: 'outlet',
  tankId: 'tank',
  pumpId: 'pump',
  personId: 'person',
  ownerId: 'person',
} as const satisfies Record<string, keyof FactTables>

/** What a version is about: two of the same thing and day are one, and the later written holds. */
const ABOUT = ['weirId', 'plotId', 'outletId', 'outletAId', 'outletBId', 'tankId', 'pumpId', 'personId'] as const
const ABOUT_WORDS = ['planId', 'number', 'kind', 'body'] as const

/** So many of one setting and day are told each; more are counted. */
const TOLD_EACH = 3

/** One thing that changes. `values` go into its sentence: figures as written, and names and numbers in place of ids. */
export interface ToCome {
  setting: DatedSetting
  fromOn: CalendarDate
  values: Values
  /** How many of the same setting and day are left untold behind the last that is told. */
  more: number
}

type Values = Record<string, string | number>
type Row = Record<string, string | number | null> & { entryId: string; fromOn: CalendarDate }

/** What was written for a day after `today`. Nobody should think that it was lost or holds already. */
export function settingsToCome(db: Database, today: CalendarDate): Promise<ToCome[]> {
  return kept(db, 'settings to come', today, async () => {
    const each = (Object.keys(DATED_SETTINGS) as DatedSetting[]).map((setting) => laterThan(setting, today))
    const { rows } = await sql<Pick<ToCome, 'setting' | 'fromOn'>>`
      ${sql.join(each, sql` union `)} order by from_on, setting`.execute(db)
    const told: ToCome[] = []
    for (const { setting, fromOn } of rows) told.push(...(await changesOf(db, setting, fromOn)))
    return told
  })
}

function laterThan(setting: DatedSetting, today: CalendarDate): RawBuilder<unknown> {
  const table = sql.table(inFile(setting))
  return sql`select ${sql.lit(setting)} as setting, from_on from ${table} where from_on > ${today} and ${standing(setting)}`
}

async function changesOf(db: Database, setting: DatedSetting, fromOn: CalendarDate): Promise<ToCome[]> {
  const table = sql.table(inFile(setting))
  const { rows } = await sql<Row>`
    select ${table}.* from ${table} join entry on entry.id = ${table}.entry_id
    where from_on = ${fromOn} and ${standing(setting)} order by ${asWritten}`.execute(db)
  const lasting = [...group(rows, aboutOf).values()].flatMap((own) =>
    own.filter(({ entryId }) => entryId === own.at(-1)!.entryId),
  )
  const told: ToCome[] = []
  for (const row of lasting.slice(0, TOLD_EACH))
    told.push({ setting, fromOn, values: await valuesOf(db, row), more: 0 })
  return told.map((one, at) => (at === TOLD_EACH - 1 ? { ...one, more: lasting.length - TOLD_EACH } : one))
}

/** An outlet that changes its tank is one thing, whatever its tank; a tank without an outlet is itself what changes. */
function aboutOf(row: Row): string {
  const first = ABOUT.find((name) => row[name] !== undefined)
  return [first && row[first], row.outletBId, ...ABOUT_WORDS.map((name) => row[name])].join(' ')
}

async function valuesOf(db: Database, row: Row): Promise<Values> {
  const values: Values = {}
  for (const [name, value] of Object.entries(row)) {
    const table = NAMED[name as keyof typeof NAMED]
    const thing = table && value !== null ? await thingOf(db, table, String(value)) : undefined
    const short = table ? name.replace(/Id$/, '') : name
    values[short] = thing?.number ?? value ?? 'none'
    values[`${short}Name`] = thing?.name ?? ''
  }
  return values
}

function thingOf(db: Database, table: (typeof NAMED)[keyof typeof NAMED], id: string) {
  return db.selectFrom(table).where('entryId', '=', id).select(['number', 'name']).executeTakeFirst()
}

/** Those that are read on a page. */
export async function toComeOn(db: Database, path: string, today: CalendarDate): Promise<ToCome[]> {
  const pages = Object.entries(DATED_SETTINGS).filter(([, page]) => path.startsWith(page))
  if (pages.length === 0) return []
  const settings = pages.map(([setting]) => setting)
  return (await settingsToCome(db, today)).filter(({ setting }) => settings.includes(setting))
}
