import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { Group } from '../../../domain/people/group.ts'
import { USUAL_RAIN_MARK_MM } from '../../../domain/water/balance/input.ts'
import type { SafeWeekly, StorageOutlook } from '../../../domain/water/outlook/outlook.ts'
import { type RainYearsFound, rainYears } from '../../../domain/water/outlook/rain-years.ts'
import { fitRecharge, type RechargeFit } from '../../../domain/water/outlook/recharge.ts'
import type { OutlookInput, OutlookWeir } from '../../../domain/water/outlook/traces.ts'
import { drainableStorageM3 } from '../../../domain/water/sand/storage.ts'
import { kept } from '../../book/kept-answers.ts'
import type { Database } from '../../database/connection.ts'
import { reckoned } from '../../reckoner/reckoner.ts'
import type { WaterAsks } from '../asks.ts'
import { seasonBalance } from '../balance/state.ts'
import { type CoverState, coverStates } from '../cover/state.ts'
import { waterSettingOn } from '../users/store.ts'
import { daysOfRecord, type RainDay } from './rain.ts'
import { listRainRecords, type OutlookSetting, outlookSettingOn, type RainRecord, USUAL_OUTLOOK } from './store.ts'

/** As many as an old laptop reckons while a person waits. */
export const TRACES = 500

/** Recharge as the group settled it, as the books fit it, or nothing. */
interface WeirRecharge {
  source: 'own' | 'fitted' | 'none'
  rechargeM3PerMm: number
  fit: RechargeFit | null
}

export interface WeirAhead {
  cover: CoverState
  recharge: WeirRecharge
  safe: SafeWeekly
}

export interface OutlookState {
  cannotSay: 'season-over' | 'no-known-weir' | null
  setting: OutlookSetting
  isSet: boolean
  records: RainRecord[]
  rain: RainYearsFound
  /** A day counts only with the rain beyond this. */
  rechargeFromMm: number
  /** Weirs whose water is not known, and which are left out. */
  leftOut: CoverState[]
  weirs: WeirAhead[]
  outlook: StorageOutlook | null
}

export function outlookState(db: Database, asks: WaterAsks, asked: Asked): Promise<OutlookState> {
  return kept(db, 'outlook', asked, () => reckonOutlook(db, asks, asked))
}

interface Asked {
  group: Group
  on: CalendarDate
}

async function reckonOutlook(db: Database, asks: WaterAsks, { group, on }: Asked): Promise<OutlookState> {
  const covers = await coverStates(db, { on })
  const chosen = await outlookSettingOn(db, on)
  const setting = chosen ?? USUAL_OUTLOOK
  const records = await listRainRecords(db)
  const book = await bookRain(db, asks, on)
  // The group's own gauge comes last, so that its figure counts where both have one.
  const rain = rainYears({ days: [...records.flatMap(({ years }) => daysOfRecord(years)), ...book] })
  const rechargeFromMm = (await waterSettingOn(db, on))?.wetRainMm ?? USUAL_RAIN_MARK_MM
  const known = covers.filter(({ coverWeir }) => coverWeir !== null)
  const leftOut = covers.filter(({ coverWeir }) => coverWeir === null)
  const common = { setting, isSet: chosen !== null, records, rain, rechargeFromMm, leftOut }
  const cannotSay = group.seasonEndOn <= on ? 'season-over' : known.length === 0 ? 'no-known-weir' : null
  if (cannotSay) return { ...common, cannotSay, weirs: [], outlook: null }
  const recharges = await fittedRecharges(db, asks, { covers: known, book, rechargeFromMm, on })
  const input: OutlookInput = {
    weirs: known.map((cover, at) => aheadOf(cover, recharges[at]!, rechargeFromMm)),
    today: on,
    seasonEndOn: group.seasonEndOn,
    lateRainOn: known[0]!.state.lateRainOn!,
    rainYears: rain.years,
    seed: setting.seed,
    traces: TRACES,
  }
  const { outlook, safe } = await reckoned('outlook of the season', { input, holdsIn: setting.holdsIn })
  const weirs = known.map((cover, at) => ({ cover, recharge: recharges[at]!, safe: safe[at]! }))
  return { ...common, cannotSay, weirs, outlook }
}

function aheadOf({ coverWeir }: CoverState, { rechargeM3PerMm }: WeirRecharge, rechargeFromMm: number): OutlookWeir {
  return { ...coverWeir!, rechargeM3PerMm, rechargeFromMm }
}

async function bookRain(db: Database, asks: WaterAsks, on: CalendarDate): Promise<RainDay[]> {
  const days = await asks.rainDays(db, { fromOn: '1800-01-01', toOn: on })
  return days.map(({ onDate, rainMm }) => ({ fellOn: onDate, rainMm }))
}

interface FitInput {
  covers: readonly CoverState[]
  book: readonly RainDay[]
  rechargeFromMm: number
  on: CalendarDate
}

/** From the whole level book, not this season alone: floods are few. */
async function fittedRecharges(
  db: Database,
  asks: WaterAsks,
  { covers, book, rechargeFromMm, on }: FitInput,
): Promise<WeirRecharge[]> {
  const first = await db.selectFrom('levelReading').select('onDate').orderBy('onDate').limit(1).executeTakeFirst()
  const fromOn = first?.onDate ?? on
  const { weirs } = await seasonBalance(db, asks, { group: { seasonStartOn: fromOn, seasonEndOn: addDays(on, 1) }, on })
  const rain = book.flatMap(({ fellOn, rainMm }) => (rainMm === null ? [] : [{ fellOn, rainMm }]))
  return covers.map(({ state, term }) => {
    if (term?.rechargeM3PerMm != null) return { source: 'own', rechargeM3PerMm: term.rechargeM3PerMm, fit: null }
    const body = state.body!
    const fullM3 = drainableStorageM3({ body, waterLevelM: body.crestLevelM }).likelyM3
    const stretches = weirs.find(({ weir }) => weir.id === state.weir.id)?.stretches ?? []
    const fit = fitRecharge({ stretches, rain, rechargeFromMm, fullM3 })
    // Wet stretches that lost water say nothing of what stays.
    if (!fit || fit.rechargeM3PerMm <= 0) return { source: 'none', rechargeM3PerMm: 0, fit }
    return { source: 'fitted', rechargeM3PerMm: fit.rechargeM3PerMm, fit }
  })
}
