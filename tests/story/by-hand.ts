/**
 * The week of the story worked out by hand: the published equations written out anew, sharing no code with the book.
 * FAO-56 = Allen, Pereira, Raes, Smith 1998, FAO Irrigation and Drainage Paper 56.
 */

/** FAO-56 equation 21, with 22 to 25; MJ/m2/day. */
export function raMj(latitudeDeg: number, dayOfYear: number): number {
  const latitude = (latitudeDeg * Math.PI) / 180
  const around = (2 * Math.PI * dayOfYear) / 365
  const distance = 1 + 0.033 * Math.cos(around)
  const declination = 0.409 * Math.sin(around - 1.39)
  const sunset = Math.acos(-Math.tan(latitude) * Math.tan(declination))
  const sines = sunset * Math.sin(latitude) * Math.sin(declination)
  const cosines = Math.cos(latitude) * Math.cos(declination) * Math.sin(sunset)
  return ((24 * 60) / Math.PI) * 0.082 * distance * (sines + cosines)
}

/** FAO-56 equation 52 (Hargreaves-Samani), radiation in mm of water by 0.408 mm per MJ. */
export function hargreavesMm(raMjM2: number, tmaxC: number, tminC: number): number {
  return 0.0023 * ((tmaxC + tminC) / 2 + 17.8) * Math.sqrt(tmaxC - tminC) * 0.408 * raMjM2
}

/** FAO-56 equation 66: between the stages the coefficient runs on a straight line; day 1 is the day of sowing. */
export function kcOnDay(day: number, kc: [number, number, number], stages: [number, number, number, number]): number {
  const [ini, dev, mid, late] = stages
  if (day <= ini) return kc[0]
  if (day <= ini + dev) return kc[0] + ((day - ini) / dev) * (kc[1] - kc[0])
  if (day <= ini + dev + mid) return kc[1]
  return kc[1] + ((day - ini - dev - mid) / late) * (kc[2] - kc[1])
}

export interface RootsByHand {
  /** Days from sowing, the first is 1. */
  firstDay: number
  kc: [number, number, number]
  stages: [number, number, number, number]
  rootM: number
  tableFraction: number
  /** Part of the ground that a grown crop finds water under. */
  rootedPart: number
}

/** What roots hold in all and without stress on a day, mm. FAO-56 equations 82 and 83, p by p. 162; sandy loam 130 mm/m, Table 19. */
export function rootsOnDay(crop: RootsByHand, day: number, etoMm: number): { totalMm: number; readilyMm: number } {
  const [ini, dev] = crop.stages
  const grown = Math.min(1, Math.max(0, (day - ini) / dev))
  const depthM = 0.2 + grown * (crop.rootM - 0.2)
  const totalMm = 130 * depthM * (1 - grown * (1 - crop.rootedPart))
  const useMm = kcOnDay(day, crop.kc, crop.stages) * etoMm
  return { totalMm, readilyMm: Math.min(0.8, Math.max(0.1, crop.tableFraction + 0.04 * (5 - useMm))) * totalMm }
}

/** Drawn down on the evening of the last of the days, mm: FAO-56 equations 84, 85 and 88, what roots cannot hold drains last. */
export function drawnDownMm(
  crop: RootsByHand,
  startMm: number,
  days: { etoMm: number; rainMm: number; reachedMm: number }[],
): number {
  return days.reduce((lacksMm, { etoMm, rainMm, reachedMm }, at) => {
    const day = crop.firstDay + at
    const { totalMm, readilyMm } = rootsOnDay(crop, day, etoMm)
    const stress = lacksMm <= readilyMm ? 1 : (totalMm - lacksMm) / (totalMm - readilyMm)
    const wet = lacksMm - rainMm - reachedMm
    return Math.max(0, wet + Math.min(stress * kcOnDay(day, crop.kc, crop.stages) * etoMm, totalMm - wet))
  }, startMm)
}

/** What the roots lack for a week in one turn or two, mm: D + E - E / (2k), no turn above what they hold and drink that day. */
export function weekNeedMm(crop: RootsByHand, lacksMm: number, etoMm: number): number {
  const days = [0, 1, 2, 3, 4, 5, 6].map((at) => crop.firstDay + at)
  const useMm = days.reduce((sum, day) => sum + kcOnDay(day, crop.kc, crop.stages) * etoMm, 0)
  const { totalMm, readilyMm } = rootsOnDay(crop, crop.firstDay, etoMm)
  const turns = Math.min(2, Math.ceil(useMm / readilyMm))
  const mostMm = totalMm + useMm / 7
  return Math.min(mostMm, lacksMm + useMm / (2 * turns)) + (turns - 1) * Math.min(mostMm, useMm / turns)
}

/** Raises the lowest received-and-given over entitled together until the water or the need stops it. */
export function evenOut(
  plots: { needM3: number; entitledM3: number; receivedM3: number }[],
  waterM3: number,
): number[] {
  const given = (level: number) =>
    plots.map((plot) => Math.min(plot.needM3, Math.max(0, level * plot.entitledM3 - plot.receivedM3)))
  const sum = (volumes: number[]) => volumes.reduce((total, volume) => total + volume, 0)
  let [low, high] = [0, 1000]
  if (sum(given(high)) <= waterM3) return given(high)
  for (let step = 0; step < 200; step++) {
    const middle = (low + high) / 2
    if (sum(given(middle)) > waterM3) high = middle
    else low = middle
  }
  return given(low)
}

/** Water above the off-take of a wedge between upright walls: the bulk volume goes with the square of the depth. */
export function wedgeM3({ fullM3, crestM, offTakeM, depthM, yieldPart }: Record<string, number>): number {
  const bulk = (depth: number) => fullM3! * (depth / crestM!) ** 2
  return yieldPart! * (bulk(depthM!) - bulk(offTakeM!))
}
