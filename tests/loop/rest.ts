/** A rest of the pump that the group has measured: its days, the level and the fall. */
export interface Rest {
  days: number
  atLevelM: number
  cmPerDay: number
}

/** All rests together, as the book averages them: all centimetres over all days, at their mean level. */
export function meanRest(rests: readonly Rest[]): Rest {
  const days = rests.reduce((sum, one) => sum + one.days, 0)
  const weighed = (of: (one: Rest) => number) => rests.reduce((sum, one) => sum + of(one) * one.days, 0) / days
  return { days, atLevelM: weighed((one) => one.atLevelM), cmPerDay: weighed((one) => one.cmPerDay) }
}
