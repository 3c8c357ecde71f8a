import type { CalendarDate } from '../../../domain/calendar.ts'
import type { Id } from '../../../domain/id.ts'
import type { Litres, M3 } from '../../../domain/units.ts'
export interface AbstractionsTables {
  abstraction: {
    entryId: Id<'abstraction'>
    onDate: string
    use: string
    weirId: Id<'weir'>
    pumpId: Id<'pump'> | null
    outletId: Id<'outlet'> | null
    plotId: Id<'plot'> | null
    turnId: Id<'turn'> | null
    takerId: Id<'person'> | null
    method: string
    openingM3: M3 | null
    closingM3: M3 | null
    hours: number | null
    flowM3PerH: number | null
    startTime: string | null
    endTime: string | null
    volumeM3: M3
    uncertaintyM3: M3
    grade: string
    remark: string | null
  }
  /** What goes with a draw beside its volume; hangs on the same entry. */
  drawNote: {
    entryId: string
    sky: string | null
    standIn: string | null
    slipNo: number | null
    /** 0 or 1: the start was not read, so the last closing stands in; null where nobody said. */
    startUnread: number | null
  }
  drawEvent: { entryId: string; event: string }
  drawTool: {
    entryId: string
    containerLitres: Litres | null
    tankAreaM2: number | null
    tankRiseM: number | null
    oldLastM3: M3 | null
    newFirstM3: M3 | null
    newSerial: string | null
  }
  /** The timings of a bucket, of a draw or of a flow test. */
  bucketTiming: { entryId: string; place: number; seconds: number }
  flowTestNote: { entryId: string; containerLitres: Litres; pumpState: string; remark: string | null }
  flagSettled: { entryId: string; subjectId: string; code: string; words: string }
  pumpDayReading: {
    entryId: string
    pumpId: Id<'pump'>
    onDate: string
    atTime: string
    moment: string
    meterM3: M3
    hourMeterH: number | null
    remark: string | null
  }
  tank: { entryId: Id<'tank'>; number: number; name: string; pumpId: Id<'pump'>; areaM2: number; heightM: number }
  tankReading: {
    entryId: string
    tankId: Id<'tank'>
    onDate: string
    atTime: string
    moment: string
    levelM: number
  }
  slipBook: { entryId: string; pumpId: Id<'pump'>; fromOn: CalendarDate; firstNo: number; lastNo: number }
  logClosing: {
    entryId: string
    span: string
    pumpId: Id<'pump'>
    fromOn: CalendarDate
    toOn: CalendarDate
    meterM3: M3 | null
    hourMeterH: number | null
    firstSlipNo: number | null
    lastSlipNo: number | null
    cashMinor: number | null
    cashToId: string | null
    words: string | null
    /** What was named as open when it was closed, as JSON. */
    found: string
  }
  fault: { entryId: string; pumpId: Id<'pump'>; foundOn: CalendarDate; what: string; stopsPump: number }
  faultFix: {
    entryId: string
    faultId: Id<'fault'>
    fixedOn: CalendarDate
    cause: string
    daysLost: number
    spares: string | null
    costMinor: number | null
    voucher: string | null
  }
  pumpService: {
    entryId: string
    pumpId: Id<'pump'>
    doneOn: CalendarDate
    hourMeterH: number
    nextAfterH: number
    words: string | null
  }
  nightTest: { entryId: string; tankId: Id<'tank'>; onDate: string; remark: string | null }
  nightReading: {
    entryId: string
    place: number
    line: string | null
    startLevelM: number
    endLevelM: number
    hours: number
  }
  /** Beside a fault: the outlet that it struck, where not the whole pump, and the day from which it is said to run again. */
  faultPlace: { entryId: string; outletId: Id<'outlet'> | null; runsAgainOn: CalendarDate | null }
  /** A pump's meter from a day on; hangs on a draw that it was replaced in, or stands alone. */
  pumpMeter: {
    entryId: string
    pumpId: Id<'pump'>
    onDate: string
    atTime: string
    digits: number
    oldLastM3: M3
    newFirstM3: M3
    serial: string | null
  }
  meterNightTest: { entryId: string; pumpId: Id<'pump'>; onDate: string; remark: string | null }
  meterNightReading: {
    entryId: string
    place: number
    line: string | null
    startM3: M3
    endM3: M3
    hours: number
  }
  clashSettled: { entryId: string; kind: string; firstId: string; secondId: string; words: string }
  /** The day's line of a tank's sheet, beside the levels and the draws that were written with it. */
  tankDay: {
    entryId: string
    tankId: Id<'tank'>
    onDate: string
    filledM3: M3 | null
    animals: number | null
    remark: string | null
  }
  /** The slip that came back for a draw that was in the book already. */
  drawSlip: { entryId: string; subjectId: string; slipNo: number }
}
