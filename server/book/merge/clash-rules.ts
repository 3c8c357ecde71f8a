import { addDays, type CalendarDate } from '../../../domain/calendar.ts'
import type { FactTables } from '../../database/schema.ts'
import type { ClashKind } from './clash-kinds.ts'

type Row = Record<string, unknown>
/** Two rows with the same values in these columns clash, unless both tell a span and the spans do not meet. */
export interface Rule {
  kind: ClashKind
  /** Rows of several tables clash with each other under one name; else only those of one table. */
  as?: string
  by: readonly string[]
  span?: (row: Row) => Span | null
  /** Only rows of which this is true. */
  where?: (row: Row) => boolean
  /** Not for rows of an entry that has one in this table. */
  not?: keyof FactTables
}
export type Span = readonly [from: number | string, to: number | string]

const setting = (...by: string[]): readonly Rule[] => [{ kind: 'same-setting', by }]
const once = (kind: ClashKind, ...by: string[]): readonly Rule[] => [{ kind, by }]
const ofTurn = (column: string): Rule => ({ kind: 'same-turn', as: 'turn', by: [column] })

const WITH_ITS_ENTRY = 'a part of its entry, which is compared as a whole'
const ADDS = 'each is one more of its kind; two never contradict each other'
const CLOSED_TWICE = 'the same span closed twice is two looks at one book'

/** Draws without both clock times may have been at the same time, so they are shown too. */
const clockSpan = ({ startTime, endTime }: Row): Span | null =>
  startTime && endTime ? [String(startTime), String(endTime)] : null
const minuteSpan = ({ startMinute, endMinute }: Row): Span => [Number(startMinute), Number(endMinute)]
const meterSpan = ({ openingM3, closingM3 }: Row): Span => [Number(openingM3), Number(closingM3)]
/** The days of a published week, which may follow the market on one device and not on the other; older ones told none. */
const weekSpan = ({ weekStartOn, inputs }: Row): Span => {
  const { days } = JSON.parse(String(inputs)) as { days?: CalendarDate[] }
  const startOn = weekStartOn as CalendarDate
  return [startOn, addDays(days?.at(-1) ?? addDays(startOn, 6), 1)]
}
const isMetered = ({ method, openingM3, closingM3 }: Row) => method === 'meter' && Number(closingM3) > Number(openingM3)
const isOfDraft = ({ stage }: Row) => stage === 'draft'
const saysWhetherTaken = ({ cause }: Row) => cause !== 'late' && cause !== 'stand-in'
const isChosen = ({ picture }: Row) => picture !== null
const isCharge = ({ kind }: Row) => kind === 'charge'

/** Every table, room by room: how its rows clash, or why two never do; a new one is not compiled before it stands here. */
export const CLASH_RULES: { readonly [T in keyof FactTables]: readonly Rule[] | string } = {
  approval: ADDS,
  withheld: ADDS,
  nameNeeded: WITH_ITS_ENTRY,
  bookJoined: ADDS,
  broughtRuling: WITH_ITS_ENTRY,
  // people
  groupSetting: setting('fromOn'),
  marketWeek: setting('fromOn'),
  person: [...once('same-number', 'number'), ...once('same-sign-in-name', 'signInName')],
  personRole: 'offices of another device rule only after a name here, and the last written ones count',
  livesTogether: setting('personId', 'fromOn'),
  personMark: [{ kind: 'same-mark', by: ['picture', 'frame'], where: isChosen }, ...setting('personId', 'fromOn')],
  pictureRuling: setting('picture'),
  decision: once('same-number', 'number'),
  quorumRule: setting('body', 'fromOn'),
  restsOn: WITH_ITS_ENTRY,
  warning: ADDS,
  warningAppeal: once('same-ending', 'warningId'),
  warningRuling: once('same-ending', 'warningId'),
  complaint: ADDS,
  complaintHearing: ADDS,
  sharedDevice: ADDS,
  sharedDeviceEnd: once('same-ending', 'deviceId'),
  credential: 'passwords of another device rule only after a name here, and the last written one counts',
  pump: once('same-number', 'number'),
  pumpDetail: setting('pumpId', 'fromOn'),
  outlet: once('same-number', 'number'),
  outletFlowTest: setting('outletId', 'testedOn'),
  plot: once('same-number', 'number'),
  plotDetail: setting('plotId', 'fromOn'),
  plotOutlet: WITH_ITS_ENTRY,
  unmeasured: WITH_ITS_ENTRY,
  plotHolder: setting('plotId', 'fromOn'),
  receivedBefore: setting('plotId', 'untilOn'),
  clockMark: WITH_ITS_ENTRY,
  clockTold: ADDS,
  weir: once('same-number', 'number'),
  weirSurvey: setting('weirId', 'fromOn'),
  levelReading: once('same-level', 'weirId', 'onDate'),
  waterUser: setting('weirId', 'kind', 'fromOn'),
  waterSetting: setting('fromOn'),
  drinkingCaution: setting('fromOn'),
  probedSurvey: setting('weirId', 'fromOn'),
  probedPoint: WITH_ITS_ENTRY,
  sandLayer: WITH_ITS_ENTRY,
  levelVolumeTable: setting('weirId', 'fromOn'),
  levelVolumeRow: WITH_ITS_ENTRY,
  sandLoss: setting('weirId', 'fromOn'),
  chamber: setting('weirId', 'fromOn'),
  refillTest: ADDS,
  refillReading: WITH_ITS_ENTRY,
  coverTerm: setting('weirId', 'fromOn'),
  outlookSetting: setting('fromOn'),
  rainRecord: setting('source'),
  rainRecordYear: WITH_ITS_ENTRY,
  droughtStage: setting('severity', 'weirId'),
  droughtCap: WITH_ITS_ENTRY,
  droughtDeclaration: setting('fromOn'),
  droughtLift: once('same-ending', 'declarationId'),
  streamShare: setting('fromOn'),
  streamRestDay: WITH_ITS_ENTRY,
  streamRestWeir: WITH_ITS_ENTRY,
  restSetAside: ADDS,
  shutMark: setting('weirId', 'fromOn'),
  streamGauging: ADDS,
  gaugingTime: WITH_ITS_ENTRY,
  gaugingPoint: WITH_ITS_ENTRY,
  inspection: ADDS,
  // crops
  weatherDay: once('same-day-of-weather', 'onDate'),
  cropPlan: setting('plotId', 'cropKey', 'sownOn'),
  cropEnd: once('same-ending', 'planId'),
  cropTranche: WITH_ITS_ENTRY,
  planCover: setting('planId', 'onDate'),
  airReading: WITH_ITS_ENTRY,
  demandRule: setting('fromOn'),
  ownCrop: setting('cropKey', 'fromOn'),
  monthTable: setting('fromOn'),
  monthEvaporation: WITH_ITS_ENTRY,
  rainRule: setting('fromOn'),
  rainGauge: once('same-number', 'number'),
  gaugeRain: once('same-day-of-weather', 'gaugeId', 'onDate'),
  plotGauge: setting('plotId', 'fromOn'),
  plotState: setting('plotId', 'fromOn'),
  plotMulch: setting('plotId', 'fromOn'),
  saltWashing: setting('fromOn'),
  coefficientRule: setting('fromOn'),
  taping: setting('plotId', 'tapedOn'),
  secondLook: setting('seasonStartOn'),
  // rotation
  sharingRule: setting('fromOn'),
  ruleMix: WITH_ITS_ENTRY,
  ruleClass: WITH_ITS_ENTRY,
  ruleProtected: WITH_ITS_ENTRY,
  plotHousehold: setting('plotId', 'fromOn'),
  planClass: setting('planId', 'fromOn'),
  weekRule: setting('weekStartOn'),
  waterRequest: setting('plotId', 'weekStartOn'),
  noTurnDay: ADDS,
  publishedWeek: [{ kind: 'same-week-published', by: [], span: weekSpan }],
  weekChosen: once('same-week-published', 'weekStartOn'),
  // Of a week that both published the weeks clash, not each of their turns.
  turn: [{ kind: 'same-hour', by: ['pumpId', 'onDate'], span: minuteSpan, not: 'publishedWeek' }],
  pumpMount: setting('pumpId', 'fromOn'),
  weekSky: setting('weekStartOn', 'onDate'),
  pumpDaySky: setting('pumpId', 'onDate'),
  noTurnHours: ADDS,
  linePosition: setting('plotId', 'fromOn'),
  turnLength: setting('fromOn'),
  mostTurns: setting('fromOn'),
  outletFilling: setting('outletId', 'fromOn'),
  outletPair: setting('outletAId', 'outletBId', 'fromOn'),
  holderGroup: setting('personId', 'fromOn'),
  turnChange: [ofTurn('turnId'), { kind: 'same-setting', by: ['weekStartOn', 'plotId'], where: isOfDraft }],
  turnOutcome: [{ ...ofTurn('turnId'), where: saysWhetherTaken }],
  turnExcuse: WITH_ITS_ENTRY,
  turnStart: once('same-setting', 'turnId'),
  dayChange: setting('onDate', 'pumpId'),
  dayGiven: WITH_ITS_ENTRY,
  shortDayRule: setting('fromOn'),
  resharedTurn: WITH_ITS_ENTRY,
  daySheet: once('same-day-sheet', 'onDate'),
  standingRequest: setting('plotId', 'fromOn'),
  requestTime: WITH_ITS_ENTRY,
  requestUrgent: WITH_ITS_ENTRY,
  urgentQuota: setting('fromOn'),
  turnList: setting('pumpId', 'fromOn'),
  turnListPlace: WITH_ITS_ENTRY,
  turnListServed: setting('pumpId', 'plotId', 'onDate'),
  turnListPause: setting('pumpId', 'fromOn'),
  booking: 'the turn that it brings in is compared',
  turnSwap: [ofTurn('turnId'), ofTurn('otherTurnId')],
  swapConsent: ADDS,
  swappedTurn: WITH_ITS_ENTRY,
  resharedDrawn: WITH_ITS_ENTRY,
  movedUpTurn: [ofTurn('freedTurnId')],
  tankOutlet: setting('outletId', 'fromOn'),
  tankUse: setting('tankId', 'fromOn'),
  // abstractions
  abstraction: [
    ofTurn('turnId'),
    { kind: 'same-outlet-same-time', by: ['outletId', 'onDate'], span: clockSpan },
    { kind: 'same-meter-interval', by: ['pumpId'], span: meterSpan, where: isMetered },
  ],
  drawNote: [{ kind: 'same-slip', as: 'slip', by: ['slipNo'] }],
  drawEvent: WITH_ITS_ENTRY,
  drawTool: WITH_ITS_ENTRY,
  bucketTiming: WITH_ITS_ENTRY,
  flowTestNote: WITH_ITS_ENTRY,
  flagSettled: ADDS,
  pumpDayReading: once('same-pump-reading', 'pumpId', 'onDate', 'moment'),
  tank: once('same-number', 'number'),
  tankReading: once('same-tank-reading', 'tankId', 'onDate', 'moment'),
  slipBook: [{ kind: 'same-number', by: [], span: ({ firstNo, lastNo }) => [Number(firstNo), Number(lastNo) + 1] }],
  logClosing: CLOSED_TWICE,
  fault: ADDS,
  faultFix: once('same-ending', 'faultId'),
  pumpService: ADDS,
  nightTest: ADDS,
  nightReading: WITH_ITS_ENTRY,
  faultPlace: WITH_ITS_ENTRY,
  pumpMeter: setting('pumpId', 'onDate'),
  meterNightTest: ADDS,
  meterNightReading: WITH_ITS_ENTRY,
  clashSettled: ADDS,
  tankDay: setting('tankId', 'onDate'),
  drawSlip: [{ kind: 'same-slip', as: 'slip', by: ['slipNo'] }],
  // fees
  account: setting('code'),
  tariff: setting('fromOn'),
  tariffPart: WITH_ITS_ENTRY,
  transfer: [
    ...once('same-receipt', 'receiptBook', 'receiptNumber'),
    { kind: 'same-charge', by: ['abstractionId'], where: isCharge },
  ],
  chargeLine: WITH_ITS_ENTRY,
  otherIncome: ADDS,
  missedHearing: once('same-charge', 'turnId'),
  missedAppeal: ADDS,
  missedTurn: once('same-charge', 'turnId'),
  receiptBook: once('same-setting', 'name'),
  receiptPaper: setting('transferId'),
  countedColumn: WITH_ITS_ENTRY,
  reserveMove: ADDS,
  cashCount: once('same-count', 'countedOn'),
  countDecision: [{ kind: 'same-count', by: ['countId'], where: ({ way }) => way === 'written-off' }],
  findingNote: ADDS,
  moneyStatement: setting('moneyColumn', 'toOn'),
  moneyStatementLine: WITH_ITS_ENTRY,
  transferCause: once('same-charge', 'causeId'),
  voucher: once('same-number', 'number'),
  floatLimit: setting('fromOn'),
  payerClass: setting('personId', 'fromOn'),
  fixedFee: setting('accountId', 'kind', 'dueOn'),
  kindRate: setting('kind', 'name', 'fromOn'),
  kindPayment: ADDS,
  relief: ADDS,
  promise: ADDS,
  fine: ADDS,
  fineAppeal: ADDS,
  fineDecision: once('same-charge', 'fineId'),
  periodClosing: CLOSED_TWICE,
}
