import { type RawBuilder, sql } from 'kysely'
import type { CalendarDate } from '../../domain/calendar.ts'
import type { Database } from '../database/connection.ts'
import { inFile } from '../database/names.ts'
import type { FactTables } from '../database/schema.ts'
import { kept } from './kept-answers.ts'
import { standing } from './standing.ts'

/** Every setting that holds from a day on, and the beginning of the addresses on which it is read. */
const DATED_SETTINGS = {
  drinkingCaution: '/water/reserve',
  waterSetting: '/water/reserve',
  waterUser: '/water/reserve',
  coverTerm: '/water/weirs/',
  outlookSetting: '/water/outlook',
  streamShare: '/water/stream-share',
  shutMark: '/water/stream-share',
  chamber: '/water/weirs/',
  rainRule: '/crops/settings',
  demandRule: '/crops/settings',
  mostTurns: '/crops/settings',
  saltWashing: '/crops/settings',
  coefficientRule: '/crops/settings',
  monthTable: '/crops/settings',
  plotState: '/crops/settings',
  plotMulch: '/crops/settings',
  plotGauge: '/crops/weather/gauges',
  floatLimit: '/money/vouchers',
  payerClass: '/money/fixed-fees',
  turnLength: '/turns/turn-grounds',
  linePosition: '/turns/turn-grounds',
  outletFilling: '/turns/turn-grounds',
  outletPair: '/turns/turn-grounds',
  holderGroup: '/turns/fairness',
  plotHousehold: '/turns/sharing-rule',
  planClass: '/turns/sharing-rule',
  sharingRule: '/turns/sharing-rule',
  urgentQuota: '/turns/requests',
  shortDayRule: '/turns/days',
  turnList: '/turns/sequence',
  tankUse: '/turns/tank-turns',
  tankOutlet: '/turns/tank-turns',
  personRole: '/people',
  personLeft: '/people',
  marketWeek: '/people/market-weeks',
  livesTogether: '/people/households',
  quorumRule: '/people/decisions',
  arrearsRule: '/people/decisions',
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
