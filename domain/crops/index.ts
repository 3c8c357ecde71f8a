/** The public functions of the crops room: climate, crop coefficients, root zone, need, season. */

export { type Climate, climateAdjustedCoefficient } from './crop/climate-adjustment.ts'
export {
  type CoefficientCurve,
  cropCoefficient,
  type LocalConditions,
} from './crop/coefficient.ts'
export * from './crop/initial-coefficient.ts'
export * from './crop/stages.ts'
export { CROPS, type Crop, cropByKey } from './data/crops.ts'
export * from './data/irrigation-methods.ts'
export { SOILS, soilByKey } from './data/soils.ts'
export { STAGE_LENGTHS } from './data/stage-lengths.ts'
export { NEED_ERRORS } from './demand/errors.ts'
export { type BookedDay, type ExpectedDemand, expectedDemand } from './demand/expected-demand.ts'
export { type FilledDay, fillMissingDays } from './demand/filled-days.ts'
export { creditedRainMm, type RainRule, USUAL_RAIN_RULE } from './demand/rain.ts'
export { type MonthDemand, usualMonthlyDemand } from './demand/usual-demand.ts'
export { grossRangeM3, jerrycans } from './need/gross-range.ts'
export { seedBedMm } from './need/seed-bed.ts'
export { type WeekNeed, weekNeed } from './need/week-need.ts'
export type { CannotSay, CropPlan, Reason } from './plan.ts'
export { type PlantableArea, plantableAreaM2 } from './planting/plantable-area.ts'
export { tapedArea } from './planting/taped-area.ts'
export * from './root-zone/available-water.ts'
export * from './root-zone/balance.ts'
export { balanceRootZone, type RootZoneInput, type RootZoneOutput, rootZoneOutput } from './root-zone/balance-arrays.ts'
export {
  type DaysLeft,
  type RootZoneOutlook,
  type RootZoneOutlookInput,
  rootZoneOutlook,
  type WateredDay,
} from './root-zone/outlook.ts'
export { seasonCalendar } from './season/calendar.ts'
export { type SeasonNeed, seasonNeed, weeklyGrossM3 } from './season/need.ts'
export { type SensitivityRank, sensitivityOrder } from './season/sensitivity-order.ts'
export { yieldResponse } from './season/yield-response.ts'
export * from './weather/air.ts'
export { clearSkyHourlyRadiationMjM2, solarNoonHour } from './weather/clear-sky-hour.ts'
export { checkDayWeather, type DayWeather } from './weather/day-weather.ts'
export { hargreavesSamaniMm, localHargreavesFactor } from './weather/hargreaves.ts'
export { estimatedVapourPressureKpa, measuredVapourPressureKpa } from './weather/humidity.ts'
export { penmanMonteithMm } from './weather/penman-monteith.ts'
export * from './weather/radiation.ts'
export * from './weather/reference-evapotranspiration.ts'
export { daylightHours, extraterrestrialRadiationMjM2, sunGeometry } from './weather/sun.ts'
