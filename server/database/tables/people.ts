export interface PeopleTables {
  groupSetting: {
    entryId: string
    fromOn: string
    name: string
    latitudeDeg: number
    longitudeDeg: number
    elevationM: number
    timeZone: string
    currency: string
    firstWeekday: number
    seasonStartOn: string
    seasonEndOn: string
  }
  person: { entryId: string; number: number; name: string; phone: string | null; signInName: string | null }
  personRole: { entryId: string; personId: string; role: string; fromOn: string }
  credential: { entryId: string; personId: string; passwordHash: string }
  pump: { entryId: string; number: number; name: string }
  pumpDetail: {
    entryId: string
    pumpId: string
    weirId: string
    fromOn: string
    usualFlowM3PerH: number
    firstHour: number
    lastHour: number
    sunThresholdWPerM2: number
    meterDigits: number
    outletsAtOnce: number
    usualDayM3: number | null
  }
  outlet: { entryId: string; number: number; name: string; pumpId: string }
  outletFlowTest: { entryId: string; outletId: string; testedOn: string; flowM3PerH: number }
  plot: { entryId: string; number: number; name: string }
  plotDetail: {
    entryId: string
    plotId: string
    fromOn: string
    areaM2: number
    soil: string
    method: string
    shares: number
  }
  plotOutlet: { entryId: string; plotId: string; outletId: string }
  plotHolder: { entryId: string; plotId: string; personId: string; fromOn: string }
  receivedBefore: { entryId: string; plotId: string; untilOn: string; volumeM3: number }
}
