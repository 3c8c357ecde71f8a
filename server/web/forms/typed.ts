/** A figure as it would be typed. */
export function figure(value: number | null | undefined): string {
  return value == null ? '' : String(value)
}

/** Metres as they are read on a stick. */
export function inCm(lengthM: number): string {
  return String(Math.round(lengthM * 1e5) / 1e3)
}

/** Whole minutes as 1:30, anything finer as decimals. */
export function hoursTyped(hours: number): string {
  const minutes = Math.round(hours * 60)
  const isWhole = Math.abs(hours * 60 - minutes) < 1e-6
  return isWhole ? `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}` : hours.toFixed(4)
}
