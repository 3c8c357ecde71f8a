import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
export interface CropsTables {
  weatherDay: {
    entryId: string
    onDate: string
    tmaxC: number | null
    tminC: number | null
    rainMm: number | null
    rhMaxPct: number | null
    rhMinPct: number | null
    windMPerS: number | null
    windHeightM: number | null
    sunHours: number | null
    radiationMjM2: number | null
  }
  airReading: {
    entryId: string
    dryBulbC: number | null
    wetBulbC: number | null
    psychrometer: string | null
    dewPointC: number | null
    vapourPressureKpa: number | null
  }
  cropPlan: { entryId: string; plotId: Id<'plot'>; cropKey: string; areaM2: number; sownOn: CalendarDate }
  planCover: { entryId: string; planId: Id<'plan'>; onDate: CalendarDate; coverFraction: number; heightM: number }
  cropEnd: { entryId: string; planId: Id<'plan'>; endedOn: CalendarDate; outcome: string }
  cropTranche: { entryId: string; tranche: number }
  ownCrop: {
    entryId: string
    cropKey: string
    fromOn: CalendarDate
    name: string
    kcIni: number
    kcMid: number
    kcEnd: number
    heightM: number
    iniDays: number
    devDays: number
    midDays: number
    lateDays: number
    rootDepthM: number
    depletionFraction: number
    yieldResponse: number | null
    perennial: number
    words: string
  }
  monthTable: { entryId: string; fromOn: CalendarDate; words: string }
  monthEvaporation: { entryId: string; month: number; etoMmPerDay: number }
  demandRule: { entryId: string; fromOn: CalendarDate; dryAirC: number; hargreavesFactor: number | null }
  saltWashing: { entryId: string; fromOn: CalendarDate; fraction: number }
  mostTurns: { entryId: string; fromOn: CalendarDate; turns: number }
  rainRule: { entryId: string; fromOn: CalendarDate; thresholdMm: number; fraction: number; missingRain: string }
  rainGauge: { entryId: string; number: number; name: string }
  gaugeRain: { entryId: string; gaugeId: Id<'gauge'>; onDate: string; rainMm: number }
  plotGauge: { entryId: string; plotId: Id<'plot'>; fromOn: CalendarDate; gaugeId: Id<'gauge'> | null }
  plotMulch: { entryId: string; plotId: Id<'plot'>; fromOn: CalendarDate; kind: string; coverFraction: number }
  plotState: { entryId: string; plotId: Id<'plot'>; fromOn: CalendarDate; state: string }
  coefficientRule: {
    entryId: string
    fromOn: CalendarDate
    byClimate: number
    wettingDays: number | null
    wettingMm: number | null
    wettedPart: number
  }
  taping: {
    entryId: string
    plotId: Id<'plot'>
    tapedOn: CalendarDate
    sideAM: number
    sideBM: number
    sideCM: number
    sideDM: number
    diagonalM: number | null
  }
  secondLook: { entryId: string; seasonStartOn: CalendarDate; lookOn: CalendarDate }
}
