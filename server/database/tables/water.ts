export interface WaterTables {
  weir: { entryId: string; number: number; name: string; distanceM: number }
  weirSurvey: {
    entryId: string
    weirId: string
    fromOn: string
    crestLevelM: number
    crestHeightM: number
    crestWidthM: number
    bedSlope: number
    valleyShape: string
    sandType: string
    offTakeAboveBedM: number
    markAboveCrestM: number
    lossCmPerDay: number | null
  }
  levelReading: {
    entryId: string
    weirId: string
    onDate: string
    atTime: string
    depthCm: number
    readerId: string | null
    pumpOffSinceAt: string | null
    flowSeen: number
    remark: string | null
  }
  waterUser: {
    entryId: string
    weirId: string
    fromOn: string
    kind: string
    heads: number
    litresPerHeadDay: number
  }
  waterSetting: { entryId: string; fromOn: string; lateRainOn: string; wetRainMm: number }
  drinkingCaution: { entryId: string; fromOn: string; rememberedWeeks: number | null; fetchWeeks: number }
  probedSurvey: {
    entryId: string
    weirId: string
    fromOn: string
    crestLevelM: number
    offTakeAboveBedM: number
    markAboveCrestM: number
    lossCmPerDay: number | null
    tailChainageM: number | null
  }
  probedPoint: { entryId: string; chainageM: number; offsetM: number; sandLevelM: number; bedLevelM: number }
  /** The last layer reaches the bedrock and has no depth. */
  sandLayer: { entryId: string; toDepthM: number | null; sandType: string }
  levelVolumeTable: {
    entryId: string
    weirId: string
    fromOn: string
    /** The survey under which the table was made; a later survey ends it. */
    surveyId: string
    answer: string
    grade: string
    lossCmPerDay: number | null
    words: string
    /** How it was fitted, as JSON; null for a table that people wrote. */
    working: string | null
  }
  levelVolumeRow: { entryId: string; levelM: number; lowM3: number; likelyM3: number; highM3: number }
  sandLoss: { entryId: string; weirId: string; fromOn: string; lossCmPerDay: number; words: string }
  chamber: {
    entryId: string
    weirId: string
    fromOn: string
    areaM2: number
    depthM: number
    rimAboveCrestM: number
    stopBelowRimCm: number
  }
  refillTest: {
    entryId: string
    weirId: string
    testedOn: string
    areaM2: number
    restBelowRimCm: number
    remark: string | null
  }
  refillReading: { entryId: string; minutes: number; belowRimCm: number }
  coverTerm: {
    entryId: string
    weirId: string
    fromOn: string
    leakShare: number
    weeklyPlanM3: number | null
    rechargeM3PerMm: number | null
    words: string | null
  }
  outlookSetting: { entryId: string; fromOn: string; holdsIn: number; seed: number }
  rainRecord: { entryId: string; source: string }
  /** Daily rain as a JSON list, 1 January first; null for a day that nobody read. */
  rainRecordYear: { entryId: string; year: number; rainMm: string }
  droughtStage: {
    entryId: string
    severity: number
    name: string
    words: string
    weirId: string
    belowLevelM: number | null
    belowCoverDays: number | null
    endCondition: string
  }
  droughtCap: { entryId: string; use: string; part: number }
  droughtDeclaration: { entryId: string; stageId: string; fromOn: string; reason: string; wasProposed: number }
  droughtLift: { entryId: string; declarationId: string; liftedOn: string; reason: string }
  streamShare: {
    entryId: string
    fromOn: string
    permitM3: number | null
    permitYearStart: string | null
    warnPart: number
    words: string | null
  }
  streamRestDay: { entryId: string; weekday: number }
  shutMark: { entryId: string; weirId: string; fromOn: string; shutBelowLevelM: number | null; words: string }
  streamGauging: {
    entryId: string
    onDate: string
    atTime: string
    place: string
    method: string
    lengthM: number | null
    surfaceFactor: number | null
    litres: number | null
    remark: string | null
  }
  gaugingTime: { entryId: string; seconds: number }
  gaugingPoint: { entryId: string; offsetM: number; depthM: number }
  inspection: {
    entryId: string
    weirId: string
    onDate: string
    part: string
    state: string
    found: string
    toDo: string | null
    nextOn: string | null
    inspectorId: string | null
  }
}
