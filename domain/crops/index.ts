/** The public functions of the crops room: climate, crop coefficients, root zone, need, season. */
export * from './climate/air.ts'
export { clearSkyHourlyRadiationMjM2, solarNoonHour } from './climate/clear-sky-hour.ts'
export { checkDayWeather, type DayWeather } from './climate/day-weather.ts'
export { hargreavesSamaniMm, localHargreavesFactor } from './climate/hargreaves.ts'
export { estimatedVapourPressureKpa, measuredVapourPressureKpa } from './climate/humidity.ts'
export { classAPanCoefficient, panEvapotranspirationMm } from './climate/pan.ts'
export { penmanMonteithMm } from './climate/penman-monteith.ts'
export * from './climate/radiation.ts'
export * from './climate/reference-evapotranspiration.ts'
export { daylightHours, extraterrestrialRadiationMjM2, sunGeometry } from './climate/sun.ts'
export { type Climate, climateAdjustedCoefficient } from './coefficient/climate-adjustment.ts'
export {
  type CoefficientCurve,
  type CropCoefficient,
  cropCoefficient,
  type LocalConditions,
} from './coefficient/crop-coefficient.ts'
export * from './coefficient/initial-coefficient.ts'
export * from './coefficient/stages.ts'
export { CROPS, type Crop, cropByKey } from './data/crops.ts'
export * from './data/irrigation-methods.ts'
export { SOILS, type Soil, soilByKey } from './data/soils.ts'
export { STAGE_LENGTHS, type StageLengthsRow } from './data/stage-lengths.ts'
export type { CannotSay, CropPlan, Reason } from './need/crop-plan.ts'
export { type BookedDay, type ExpectedDemand, expectedDemand } from './need/expected-demand.ts'
export { type FilledDay, type FilledDays, fillMissingDays } from './need/filled-days.ts'
export { grossRangeM3, jerrycans, NEED_ERRORS, netIrrigationMm } from './need/gross-range.ts'
export { type IrrigationNeed, type IrrigationNeedInput, irrigationNeed } from './need/irrigation-need.ts'
export * from './need/rain.ts'
export {
  type DaysLeft,
  type RootZoneOutlook,
  type RootZoneOutlookInput,
  rootZoneOutlook,
} from './need/root-zone-outlook.ts'
export { type WeeklyNeed, type WeeklyNeedInput, type WeeklyWorking, weeklyNeed } from './need/weekly-need.ts'
export * from './root-zone/available-water.ts'
export { balanceRootZone, type RootZoneInput, type RootZoneOutput, rootZoneOutput } from './root-zone/balance-arrays.ts'
export * from './root-zone/root-zone-balance.ts'
export { type PlantableArea, plantableAreaM2 } from './season/plantable-area.ts'
export { type RemainingNeed, remainingNeed } from './season/remaining-need.ts'
export { type CalendarPlan, type CalendarWeek, seasonCalendar } from './season/season-calendar.ts'
export { type SeasonNeed, type SeasonNeedInput, seasonNeed } from './season/season-need.ts'
export { type SensitivePlot, type SensitivityRank, sensitivityOrder } from './season/sensitivity-order.ts'
export { type TapedArea, tapedArea } from './season/taped-area.ts'
export { type MonthDemand, usualMonthlyDemand } from './season/usual-demand.ts'
export { yieldResponse } from './season/yield-response.ts'
