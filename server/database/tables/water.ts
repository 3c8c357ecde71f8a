import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Litres, M3 } from '../../../domain/units.ts'
export interface WaterTables {
  weir: { entryId: Id<'weir'>; number: number; name: string; distanceM: number }
  weirSurvey: {
    entryId: string
    weirId: Id<'weir'>
    fromOn: CalendarDate
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
    weirId: Id<'weir'>
    onDate: string
    atTime: string
    depthCm: number
    readerId: Id<'person'> | null
    pumpOffSinceAt: Instant | null
    /** 0 or 1; null in lines of older versions, which wrote a running pump as off since the reading itself. */
    pumpRunning: number | null
    flowSeen: number
    remark: string | null
  }
  waterUser: {
    entryId: string
    weirId: Id<'weir'>
    fromOn: CalendarDate
    kind: string
    heads: number
    litresPerHeadDay: number
  }
  waterSetting: { entryId: string; fromOn: CalendarDate; lateRainOn: CalendarDate; wetRainMm: number }
  drinkingCaution: { entryId: string; fromOn: CalendarDate; rememberedWeeks: number | null; fetchWeeks: number }
  probedSurvey: {
    entryId: string
    weirId: Id<'weir'>
    fromOn: CalendarDate
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
    weirId: Id<'weir'>
    fromOn: CalendarDate
    /** The survey under which the table was made; a later survey ends it. */
    surveyId: Id<'survey'>
    answer: string
    grade: string
    lossCmPerDay: number | null
    words: string
    /** How it was fitted, as JSON; null for a table that people wrote. */
    working: string | null
  }
  levelVolumeRow: { entryId: string; levelM: number; lowM3: M3; likelyM3: M3; highM3: M3 }
  sandLoss: { entryId: string; weirId: Id<'weir'>; fromOn: CalendarDate; lossCmPerDay: number; words: string }
  chamber: {
    entryId: string
    weirId: Id<'weir'>
    fromOn: CalendarDate
    areaM2: number
    depthM: number
    rimAboveCrestM: number
    stopBelowRimCm: number
  }
  refillTest: {
    entryId: string
    weirId: Id<'weir'>
    testedOn: CalendarDate
    areaM2: number
    restBelowRimCm: number
    remark: string | null
  }
  refillReading: { entryId: string; minutes: number; belowRimCm: number }
  coverTerm: {
    entryId: string
    weirId: Id<'weir'>
    fromOn: CalendarDate
    leakShare: number
    weeklyPlanM3: M3 | null
    rechargeM3PerMm: number | null
    words: string | null
  }
  outlookSetting: { entryId: string; fromOn: CalendarDate; holdsIn: number; seed: number }
  rainRecord: { entryId: string; source: string }
  /** Daily rain as a JSON list, 1 January first; null for a day that nobody read. */
  rainRecordYear: { entryId: string; year: number; rainMm: string }
  droughtStage: {
    entryId: string
    severity: number
    name: string
    words: string
    weirId: Id<'weir'>
    belowLevelM: number | null
    belowCoverDays: number | null
    endCondition: string
  }
  droughtCap: { entryId: string; use: string; part: number }
  droughtDeclaration: {
    entryId: string
    stageId: Id<'stage'>
    fromOn: CalendarDate
    reason: string
    wasProposed: number
  }
  droughtLift: { entryId: string; declarationId: Id<'declaration'>; liftedOn: CalendarDate; reason: string }
  streamShare: {
    entryId: string
    fromOn: CalendarDate
    permitM3: M3 | null
    permitYearStart: string | null
    warnPart: number
    words: string | null
  }
  streamRestDay: { entryId: string; weekday: number }
  /** The weirs that rest on those days; all where none is named. */
  streamRestWeir: { entryId: string; weirId: Id<'weir'> }
  /** One rest day set aside, for one weir or all; it holds with two other names. */
  restSetAside: { entryId: string; onDate: CalendarDate; weirId: Id<'weir'> | null; reason: string }
  shutMark: { entryId: string; weirId: Id<'weir'>; fromOn: CalendarDate; shutBelowLevelM: number | null; words: string }
  streamGauging: {
    entryId: string
    onDate: string
    atTime: string
    place: string
    method: string
    lengthM: number | null
    surfaceFactor: number | null
    litres: Litres | null
    remark: string | null
  }
  gaugingTime: { entryId: string; seconds: number }
  gaugingPoint: { entryId: string; offsetM: number; depthM: number }
  inspection: {
    entryId: string
    weirId: Id<'weir'>
    onDate: string
    part: string
    state: string
    found: string
    toDo: string | null
    nextOn: CalendarDate | null
    inspectorId: Id<'person'> | null
  }
}
