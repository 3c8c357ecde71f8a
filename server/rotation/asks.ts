import type { CalendarDate } from '../../domain/calendar.ts'
import type { Database } from '../database/connection.ts'

/** Prices in minor units of the group's currency, as the tariff in force has them; null where it has none of that kind. */
export interface WaterPrices {
  perPumpHourMinor: number | null
  perM3Minor: number | null
}

/** What the pages of turns want to hear from rooms that come later. */
export interface RotationAsks {
  pricesOn(db: Database, on: CalendarDate): Promise<WaterPrices>
}
