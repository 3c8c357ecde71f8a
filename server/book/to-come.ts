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
type Thing = { id: string; number: number; name: string }

/** What was written for a day after `today`. Nobody should think that it was lost or holds already. */
export async function settingsToCome(db: Database, today: CalendarDate): Promise<ToCome[]> {
  return toldOf(db, today, await comingSettings(db, today))
}

/** Those that are read on a page. */
export async function toComeOn(db: Database, path: string, today: CalendarDate): Promise<ToCome[]> {
  const isRead = (setting: DatedSetting) => path.startsWith(DATED_SETTINGS[setting])
  if (!Object.values(DATED_SETTINGS).some((page) => path.startsWith(page))) return []
  return toldOf(db, today, (await comingSettings(db, today)).filter(isRead))
}

/** Which settings have a version with a day to come, in one question, since every page asks it. */
function comingSettings(db: Database, today: CalendarDate): Promise<DatedSetting[]> {
  return kept(db, 'settings to come', today, async () => {
    const each = (Object.keys(DATED_SETTINGS) as DatedSetting[]).map((setting) => laterThan(setting, today))
    const { rows } = await sql<{ setting: DatedSetting }>`${sql.join(each, sql` union `)} order by setting`.execute(db)
    return rows.map(({ setting }) => setting)
  })
}

function laterThan(setting: DatedSetting, today: CalendarDate): RawBuilder<unknown> {
  const table = sql.table(inFile(setting))
  return sql`select ${sql.lit(setting)} as setting from ${table} where from_on > ${today} and ${standing(setting)}`
}

function toldOf(db: Database, today: CalendarDate, settings: readonly DatedSetting[]): Promise<ToCome[]> {
  return kept(db, 'changes to come', { today, settings }, async () => {
    const changes: { setting: DatedSetting; row: Row; more: number }[] = []
    for (const setting of settings) changes.push(...(await changesOf(db, setting, today)))
    const things = await thingsOf(
      db,
      changes.map(({ row }) => row),
    )
    const told = changes.map(({ setting, row, more }) => {
      return { setting, fromOn: row.fromOn, values: valuesOf(row, things), more }
    })
    return told.sort((a, b) => (a.fromOn < b.fromOn ? -1 : a.fromOn > b.fromOn ? 1 : 0))
  })
}

async function changesOf(db: Database, setting: DatedSetting, today: CalendarDate) {
  const table = sql.table(inFile(setting))
  const { rows } = await sql<Row>`
    select ${table}.* from ${table} join entry on entry.id = ${table}.entry_id
    where from_on > ${today} and ${standing(setting)} order by ${asWritten}`.execute(db)
  return [...group(rows, ({ fromOn }) => fromOn).values()].flatMap((ofDay) => {
    const lasting = [...group(ofDay, aboutOf).values()].flatMap((own) =>
      own.filter(({ entryId }) => entryId === own.at(-1)!.entryId),
    )
    return lasting
      .slice(0, TOLD_EACH)
      .map((row, at) => ({ setting, row, more: at === TOLD_EACH - 1 ? lasting.length - TOLD_EACH : 0 }))
  })
}

/** The number and the name of whatever the rows name, in one question. */
async function thingsOf(db: Database, rows: readonly Row[]): Promise<ReadonlyMap<string, Thing>> {
  const ids = group(
    rows.flatMap((row) => Object.entries(NAMED).map(([column, table]) => ({ table, id: row[column] }))),
    ({ table }) => table,
  )
  const each = [...ids].flatMap(([table, named]) => {
    const own = [...new Set(named.flatMap(({ id }) => (typeof id === 'string' ? [id] : [])))]
    return own.length === 0
      ? []
      : [sql`select entry_id as id, number, name from ${sql.table(inFile(table))} where entry_id in (${sql.join(own)})`]
  })
  if (each.length === 0) return new Map()
  const { rows: things } = await sql<Thing>`${sql.join(each, sql` union all `)}`.execute(db)
  return new Map(things.map((thing) => [thing.id, thing]))
}

function valuesOf(row: Row, things: ReadonlyMap<string, Thing>): Values {
  const values: Values = {}
  for (const [name, value] of Object.entries(row)) {
    const isNamed = name in NAMED
    const thing = isNamed && value !== null ? things.get(String(value)) : undefined
    const short = isNamed ? name.replace(/Id$/, '') : name
    values[short] = thing?.number ?? value ?? 'none'
    values[`${short}Name`] = thing?.name ?? ''
  }
  return values
}

/** An outlet that changes its tank is one thing, whatever its tank; a tank without an outlet is itself what changes. */
function aboutOf(row: Row): string {
  const first = ABOUT.find((name) => row[name] !== undefined)
  return [first && row[first], row.outletBId, ...ABOUT_WORDS.map((name) => row[name])].join(' ')
}
