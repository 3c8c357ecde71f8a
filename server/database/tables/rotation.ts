export interface RotationTables {
  sharingRule: {
    entryId: string
    fromOn: string
    admission: string
    declaredOn: string | null
    sparePart: number
    excusedDays: number
    excusedCapPart: number | null
  }
  ruleMix: {
    entryId: string
    weirId: string | null
    equalWeight: number
    areaWeight: number
    shareWeight: number
    personsWeight: number
    needWeight: number
    areaCapM2: number | null
  }
  ruleClass: { entryId: string; class: string; place: number; minimumPart: number | null }
  ruleProtected: { entryId: string; plotId: string; upToStage: number | null }
  plotHousehold: { entryId: string; plotId: string; fromOn: string; persons: number }
  planClass: { entryId: string; planId: string; fromOn: string; class: string | null }
  weekRule: { entryId: string; weekStartOn: string; rule: string }
  waterRequest: { entryId: string; plotId: string; weekStartOn: string; volumeM3: number | null }
  noTurnDay: { entryId: string; onDate: string; pumpId: string | null; words: string }
  publishedWeek: {
    entryId: string
    weekStartOn: string
    formatVersion: number
    engineVersion: string
    inputs: string
    results: string
  }
  turn: {
    entryId: string
    id: string
    plotId: string | null
    outletId: string
    pumpId: string
    onDate: string
    startMinute: number
    endMinute: number
    volumeM3: number
  }
  pumpMount: { entryId: string; pumpId: string; fromOn: string; mount: string }
  /** The sky that the committee expects, day by day; the last entry of a week counts. */
  weekSky: { entryId: string; weekStartOn: string; onDate: string; sky: string }
  /** The sky that was seen over a pump, and whether it ran all day. */
  pumpDaySky: { entryId: string; pumpId: string; onDate: string; sky: string; wholeDay: number }
  noTurnHours: {
    entryId: string
    personId: string
    fromOn: string
    untilOn: string | null
    weekday: number | null
    fromHour: number
    toHour: number
    words: string
  }
  /** 1 next to the pump, rising to the tail. */
  linePosition: { entryId: string; plotId: string; fromOn: string; position: number }
  turnLength: {
    entryId: string
    fromOn: string
    shortestMinutes: number
    longestMinutes: number | null
    changeoverMinutes: number
  }
  outletFilling: { entryId: string; outletId: string; fromOn: string; minutes: number }
  outletPair: { entryId: string; outletAId: string; outletBId: string; fromOn: string; together: number }
  /** The groups that a person counts in from a day on; a row without a name stands for none. */
  holderGroup: { entryId: string; personId: string; fromOn: string; name: string | null }
  turnChange: {
    entryId: string
    weekStartOn: string
    stage: string
    kind: string
    turnId: string | null
    plotId: string
    outletId: string
    wasOn: string | null
    onDate: string | null
    startMinute: number | null
    volumeM3: number | null
  }
  turnOutcome: { entryId: string; turnId: string; cause: string; standInId: string | null; words: string | null }
  dayChange: {
    entryId: string
    weekStartOn: string
    onDate: string
    pumpId: string
    kind: string
    fromMinute: number
    untilMinute: number | null
  }
  /** Hangs on the amendment of the turn that a day shared anew has changed; what is short stays visible. */
  resharedTurn: {
    entryId: string
    dayChangeId: string
    turnId: string
    plotId: string
    wasM3: number
    nowM3: number
  }
  /** A day's sheet as it was closed; `found` holds its counts and sums as JSON. */
  daySheet: { entryId: string; onDate: string; found: string }
  standingRequest: {
    entryId: string
    plotId: string
    fromOn: string
    untilOn: string | null
    volumeM3: number | null
  }
  /** Hangs on a request or a standing request. */
  requestTime: { entryId: string; kind: string; weekday: number | null; fromHour: number; toHour: number }
  requestUrgent: { entryId: string; words: string }
  urgentQuota: { entryId: string; fromOn: string; perMonth: number }
  turnList: { entryId: string; pumpId: string; fromOn: string; perDay: number }
  turnListPlace: { entryId: string; place: number; plotId: string }
  turnListServed: { entryId: string; pumpId: string; plotId: string; onDate: string }
  turnListPause: {
    entryId: string
    pumpId: string
    fromOn: string
    untilOn: string | null
    cause: string
    words: string | null
  }
  booking: { entryId: string; weekStartOn: string; turnId: string; plotId: string; volumeM3: number }
  turnSwap: {
    entryId: string
    weekStartOn: string
    turnId: string
    otherTurnId: string | null
    toPlotId: string
    payer: string
  }
  swapConsent: { entryId: string; swapId: string; plotId: string; personId: string }
  /** Hangs on the amendment that brought in a turn of an agreed swap or gift: the plot whose holder pays for it. */
  swappedTurn: { entryId: string; swapId: string; turnId: string; payerPlotId: string }
  /** Hangs on the amendment of a reshared turn: what had come before the day changed, by the log or by the plan. */
  resharedDrawn: { entryId: string; drawnM3: number; basis: string }
  /** Hangs on the amendment of a turn that moved up into hours which became free. */
  movedUpTurn: { entryId: string; freedTurnId: string; turnId: string }
  /** From which day an outlet hangs on a raised tank; no tank means straight on its pump again. */
  tankOutlet: { entryId: string; outletId: string; tankId: string | null; fromOn: string }
  tankUse: {
    entryId: string
    tankId: string
    fromOn: string
    fromHour: number | null
    toHour: number | null
    keptM3: number
    servesStand: number
  }
}
