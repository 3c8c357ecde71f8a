import type { CalendarDate, Instant } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { DecidingBody, QuorumPart } from '../../../domain/people/decision.ts'
import type { HearingBody, LadderStep } from '../../../domain/people/ladder.ts'
import type { Digits } from '../../../domain/people/language.ts'
import type { Frame, MarkAsked } from '../../../domain/people/mark/types.ts'
import type { ClipKey } from '../../../domain/people/voice/clips.ts'
import type { M3 } from '../../../domain/units.ts'
export interface PeopleTables {
  groupSetting: {
    entryId: string
    fromOn: CalendarDate
    name: string
    latitudeDeg: number
    longitudeDeg: number
    elevationM: number
    timeZone: string
    currency: string
    firstWeekday: number
    seasonStartOn: CalendarDate
    seasonEndOn: CalendarDate
  }
  /** A figure of a plot or a weir that nobody had measured when its description was written. */
  unmeasured: { entryId: string; figure: string }
  /** What the group counts in: a vessel of so many litres, or land of so many m2. */
  groupMeasure: { entryId: string; fromOn: CalendarDate; kind: string; name: string; size: number }
  countedIn: { entryId: string; personId: Id<'person'>; fromOn: CalendarDate; measure: string }
  /** A volume as it was typed, beside the m3 that were reckoned from it. */
  typedVolume: { entryId: string; figure: number; unit: string; litresEach: number; doubtPart: number }
  /** The other calendar whose day stands beside ours; none where it is empty. */
  groupCalendar: { entryId: string; calendar: string | null }
  monthName: { entryId: string; month: number; name: string }
  marketWeek: { entryId: string; fromOn: CalendarDate; daysInWeek: number }
  person: { entryId: Id<'person'>; number: number; name: string; phone: string | null; signInName: string | null }
  /** Who lives together from a day on, a row a person; a line of one person alone says that they live apart from others. */
  livesTogether: { entryId: string; personId: Id<'person'>; fromOn: CalendarDate }
  personRole: { entryId: string; personId: Id<'person'>; role: string; fromOn: CalendarDate }
  /** Members whom a meeting named to put their names where officers are too few. */
  meetingNamed: { entryId: string; personId: Id<'person'> }
  /** Who has left the group, or died, from a day on; or is back. */
  personLeft: { entryId: string; personId: Id<'person'>; fromOn: CalendarDate; isBack: number }
  credential: { entryId: string; personId: Id<'person'>; passwordHash: string }
  pump: { entryId: Id<'pump'>; number: number; name: string }
  pumpDetail: {
    entryId: string
    pumpId: Id<'pump'>
    weirId: Id<'weir'>
    fromOn: CalendarDate
    usualFlowM3PerH: number
    firstHour: number
    lastHour: number
    sunThresholdWPerM2: number
    meterDigits: number
    outletsAtOnce: number
    usualDayM3: M3 | null
  }
  outlet: { entryId: Id<'outlet'>; number: number; name: string; pumpId: Id<'pump'> }
  outletFlowTest: { entryId: string; outletId: Id<'outlet'>; testedOn: CalendarDate; flowM3PerH: number }
  plot: { entryId: Id<'plot'>; number: number; name: string }
  plotDetail: {
    entryId: string
    plotId: Id<'plot'>
    fromOn: CalendarDate
    areaM2: number
    soil: string
    method: string
    shares: number
  }
  plotOutlet: { entryId: string; plotId: Id<'plot'>; outletId: Id<'outlet'> }
  plotHolder: { entryId: string; plotId: Id<'plot'>; personId: Id<'person'>; fromOn: CalendarDate }
  /** What stands for a person beside the number, from a day on; no picture where it was given up. */
  personMark: {
    entryId: string
    personId: Id<'person'>
    fromOn: CalendarDate
    picture: string | null
    frame: Frame | null
    /** How the person asked for it, where somebody else wrote it. */
    asked: MarkAsked | null
  }
  /** In which language the book speaks to a person from a day on; no digits where they are those of the language. */
  personLanguage: {
    entryId: string
    personId: Id<'person'>
    fromOn: CalendarDate
    language: string
    digits: Digits | null
  }
  /** In which language the book speaks for the group from a day on; no digits where they are those of the language. */
  groupLanguage: { entryId: string; fromOn: CalendarDate; language: string; digits: Digits | null }
  /** The group's own words for a sentence of a language; none where the catalogue's holds again. */
  ownWords: { entryId: string; language: string; messageKey: string; words: string | null }
  /** What a reader of the group recorded for one place of a sentence, in a language (BCP 47): mu-law bytes, 8,000 a second. */
  voiceClip: { entryId: string; language: string; clip: ClipKey; sound: Buffer }
  pictureRuling: { entryId: string; picture: string; isStruck: number }
  /** A device on which people sign in by mark and code, known by the hash of a key that lies on it. */
  sharedDevice: { entryId: string; name: string; keyHash: string }
  sharedDeviceEnd: { entryId: string; deviceId: string }
  /** Written while the machine's clock could not be right. */
  clockMark: { entryId: string; machineAt: Instant }
  clockTold: { entryId: string; machineAt: Instant; toldAt: Instant }
  /** A line of the decisions book; votes are empty where nobody counted hands, and some words are for officers alone. */
  decision: {
    entryId: Id<'decision'>
    number: string
    metOn: CalendarDate
    body: DecidingBody
    words: string
    officersWords: string | null
    present: number | null
    votesFor: number | null
    votesAgainst: number | null
    abstained: number | null
  }
  quorumRule: { entryId: string; fromOn: CalendarDate; body: DecidingBody; part: QuorumPart }
  /** The number of the minute on which an act rests, as it was chosen or typed. */
  restsOn: { entryId: string; number: string }
  /** A word or a warning after a hearing; it counts until it lapses, and may be appealed once to another body. */
  warning: {
    entryId: string
    personId: Id<'person'>
    step: 'word' | 'warning'
    rule: string
    fact: string
    heardOn: CalendarDate
    hearing: string
    body: HearingBody
    lapseOn: CalendarDate
  }
  warningAppeal: { entryId: string; warningId: string; toBody: HearingBody; words: string }
  warningRuling: { entryId: string; warningId: string; stands: number; words: string }
  /** What the group's written rule says a conduct leads to, by the rule's number; the last of a number holds. */
  conductRule: {
    entryId: string
    number: string
    fromOn: CalendarDate
    conduct: string
    wordsBefore: number
    warningsBefore: number
    lapseDays: number
    fineMinor: number | null
    finePercent: number | null
    ends: number
  }
  /** Beside a word, a warning or a fine: the rule it was taken by, which step that named, and why another was taken. */
  ladderStep: { entryId: string; ruleId: string | null; named: LadderStep; reason: string | null }
  complaint: {
    entryId: string
    byId: Id<'person'>
    saidOn: CalendarDate
    words: string
    aboutId: Id<'person'> | null
    plotId: Id<'plot'> | null
  }
  complaintHearing: {
    entryId: string
    complaintId: string
    heardOn: CalendarDate
    body: HearingBody
    bothHeard: number
    outcome: string
    ends: number
  }
  /** A plot that became two: its area and shares before, and what of them the new plot has. */
  plotSplit: {
    entryId: string
    plotId: Id<'plot'>
    newPlotId: Id<'plot'>
    splitOn: CalendarDate
    areaM2: number
    newAreaM2: number
    shares: number
    newShares: number
  }
  /** The part of a holder, of one; beside the rows of an entry that says who holds a plot. */
  holderPart: { entryId: string; personId: Id<'person'>; part: number }
  /** How somebody asked whose words another person wrote in; beside what was asked. */
  askedThrough: { entryId: string; how: string; bearer: string | null }
  /** How a holder agreed to what another holder of the same plot wrote in that entry. */
  holderMark: { entryId: string; personId: Id<'person'>; given: 'present' | 'message' | 'ticket' }
  /** Who owns a plot that is let, from a day on; nobody where it is let no more. */
  plotOwner: { entryId: string; plotId: Id<'plot'>; ownerId: Id<'person'> | null; fromOn: CalendarDate }
  arrearsRule: { entryId: string; fromOn: CalendarDate; follows: 'person' | 'plot' }
  applicant: {
    entryId: string
    name: string
    askedOn: CalendarDate
    areaM2: number
    shares: number
    persons: number
    words: string | null
  }
  applicantEnd: { entryId: string; applicantId: string; takenIn: number; words: string }
  handover: {
    entryId: string
    handedOn: CalendarDate
    what: string
    giverId: Id<'person'>
    takerId: Id<'person'>
    keys: string | null
    cashMinor: number | null
    /** What the book had as cash when it was counted. */
    cashBookMinor: number | null
    meters: string | null
    openMatters: string | null
    otherGiven: 'present' | 'message' | 'ticket' | null
  }
  officeTerm: { entryId: string; personId: Id<'person'>; office: string; untilOn: CalendarDate }
  receivedBefore: { entryId: string; plotId: Id<'plot'>; untilOn: CalendarDate; volumeM3: M3 }
}
