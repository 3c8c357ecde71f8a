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
  cropPlan: { entryId: string; plotId: string; cropKey: string; areaM2: number; sownOn: string }
  cropEnd: { entryId: string; planId: string; endedOn: string; outcome: string }
  cropTranche: { entryId: string; tranche: number }
  ownCrop: {
    entryId: string
    cropKey: string
    fromOn: string
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
  monthTable: { entryId: string; fromOn: string; words: string }
  monthEvaporation: { entryId: string; month: number; etoMmPerDay: number }
  rainRule: { entryId: string; fromOn: string; thresholdMm: number; fraction: number; missingRain: string }
  rainGauge: { entryId: string; number: number; name: string }
  gaugeRain: { entryId: string; gaugeId: string; onDate: string; rainMm: number }
  plotGauge: { entryId: string; plotId: string; fromOn: string; gaugeId: string | null }
  plotState: { entryId: string; plotId: string; fromOn: string; state: string }
  coefficientRule: {
    entryId: string
    fromOn: string
    byClimate: number
    wettingDays: number | null
    wettingMm: number | null
    wettedPart: number
  }
  taping: {
    entryId: string
    plotId: string
    tapedOn: string
    sideAM: number
    sideBM: number
    sideCM: number
    sideDM: number
    diagonalM: number | null
  }
  secondLook: { entryId: string; seasonStartOn: string; lookOn: string }
}
