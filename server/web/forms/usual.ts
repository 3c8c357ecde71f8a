export interface Usual {
  least: number
  most: number
  /** A sentence of its own in the catalogue, where there is more to say than the bound. */
  words?: string
}

/**
 * Between which figures what people write mostly lies. Beyond them a form asks "is that so?" and takes the figure when it comes again
 * with a cross; nothing is refused. Bounds without a source are common practice: a slip of the decimal point or a wrong unit
 * falls outside, a rare truth seldom does.
 */
export const USUAL = {
  // The most in a day anywhere is 1825 mm, Foc-Foc, La Réunion, January 1966 (WMO archive of weather extremes, from memory).
  'rain of a day, mm': { least: 0, most: 300, words: 'error.unusual-rain' },
  // The most anywhere is 56.7 °C, Furnace Creek, July 1913 (WMO archive of weather extremes, from memory).
  'heat of a day, °C': { least: -20, most: 50, words: 'error.unusual-heat' },
  'cold of a night, °C': { least: -30, most: 35 },
  'wet or dry bulb, °C': { least: -10, most: 50 },
  // Weather stations hold it at 2 or 10 m (FAO Irrigation and Drainage Paper 56, equation 47, from memory).
  'height of a wind meter, m': { least: 1, most: 15 },
  // Reference evapotranspiration of the hottest dry places is above 9 mm a day (FAO 56, table 2, from memory).
  'evaporation of a day, mm': { least: 0.5, most: 12 },
  'rain that ends the dry season, mm': { least: 1, most: 100 },
  'level on a stick, cm': { least: -100, most: 1000 },
  'level in a tank, cm': { least: 0, most: 600 },
  'area of a plot, m2': { least: 10, most: 50_000 },
  'side of a plot, m': { least: 1, most: 500 },
  'area of a tank, m2': { least: 0.2, most: 500 },
  'height of a tank, m': { least: 0.3, most: 6 },
  'height of a wall, m': { least: 0.5, most: 8 },
  'width of a wall, m': { least: 2, most: 150 },
  'slope of a bed, per cent': { least: 0.1, most: 10 },
  'height beside a wall, m': { least: -8, most: 8 },
  'depth of a layer, m': { least: 0.1, most: 8 },
  'along the stream, m': { least: 0, most: 50_000 },
  'loss of the sand, cm a day': { least: 0, most: 5 },
  'side of a chamber, m': { least: 0.5, most: 10 },
  'water in a chamber, cm': { least: 0, most: 1000 },
  'flow of a pump or outlet, m3/h': { least: 0.1, most: 100 },
  'day of a pump, m3': { least: 0.5, most: 800 },
  'sun at which a pump starts, W/m2': { least: 0, most: 600 },
  'water of a turn, m3': { least: 0, most: 1000 },
  'water of a week, m3': { least: 0, most: 2000 },
  'water of a season, m3': { least: 0, most: 50_000 },
  'water in a tank, m3': { least: 0, most: 500 },
  'container, litres': { least: 0.5, most: 1000 },
  'filling of a container, seconds': { least: 1, most: 1800 },
  'hours on a meter': { least: 0, most: 100_000 },
  'hours to a service': { least: 10, most: 5000 },
  'days lost': { least: 0, most: 120 },
  'persons in a household': { least: 0, most: 40 },
  'heads that drink': { least: 0, most: 5000 },
  'jerrycans of a day': { least: 0, most: 5000 },
  // Dairy cattle drink at most 114 litres a day (Clemson University extension, 5 to 30 gallons); people at 15 to 100 (Sphere; WHO).
  'litres a head and day': { least: 0, most: 150 },
  // The largest crop coefficient of FAO 56, table 12, is 1.25 (from memory); wind and dry air raise it a little.
  'crop coefficient': { least: 0.1, most: 1.4 },
  'days of a stage': { least: 0, most: 250 },
  // Roots of 3 m are only those of a few trees and vines (FAO 56, table 22, from memory).
  'depth of roots, m': { least: 0.1, most: 2.5 },
  'height of a crop, m': { least: 0.05, most: 8 },
  'shares of a plot': { least: 0, most: 100 },
  'width of a tariff step, m3': { least: 0.1, most: 5000 },
  'years of a pump': { least: 2, most: 40 },
  'plots of a group': { least: 2, most: 1000 },
  'days of a labour credit': { least: 0.1, most: 400 },
} as const satisfies Record<string, Usual>

export type UsualFigure = keyof typeof USUAL
