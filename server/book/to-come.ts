import { type RawBuilder, sql } from 'kysely'
import type { CalendarDate } from '../../domain/calendar.ts'
import type { Database } from '../database/connection.ts'
import { inFile } from '../database/names.ts'
import type { FactTables } from '../database/schema.ts'
import { kept } from './kept-answers.ts'
import { standing } from './standing.ts'

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

export interface ToCome {
  setting: DatedSetting
  fromOn: CalendarDate
}

/** What was written for a day after `today`: each setting and day once. Nobody should think that it was lost or holds already. */
export function settingsToCome(db: Database, today: CalendarDate): Promise<ToCome[]> {
  return kept(db, 'settings to come', today, async () => {
    const each = (Object.keys(DATED_SETTINGS) as DatedSetting[]).map((setting) => laterThan(setting, today))
    const { rows } = await sql<ToCome>`${sql.join(each, sql` union `)} order by from_on, setting`.execute(db)
    return rows
  })
}

function laterThan(setting: DatedSetting, today: CalendarDate): RawBuilder<unknown> {
  const table = sql.table(inFile(setting))
  return sql`select ${sql.lit(setting)} as setting, from_on from ${table} where from_on > ${today} and ${standing(setting)}`
}

/** Those that are read on a page. */
export async function toComeOn(db: Database, path: string, today: CalendarDate): Promise<ToCome[]> {
  const pages = Object.entries(DATED_SETTINGS).filter(([, page]) => path.startsWith(page))
  if (pages.length === 0) return []
  const settings = pages.map(([setting]) => setting)
  return (await settingsToCome(db, today)).filter(({ setting }) => settings.includes(setting))
}
