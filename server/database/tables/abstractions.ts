export interface AbstractionsTables {
  abstraction: {
    entryId: string
    onDate: string
    use: string
    weirId: string
    pumpId: string | null
    outletId: string | null
    plotId: string | null
    turnId: string | null
    takerId: string | null
    method: string
    openingM3: number | null
    closingM3: number | null
    hours: number | null
    flowM3PerH: number | null
    startTime: string | null
    endTime: string | null
    volumeM3: number
    uncertaintyM3: number
    grade: string
    remark: string | null
  }
  /** What goes with a draw beside its volume; hangs on the same entry. */
  drawNote: { entryId: string; sky: string | null; standIn: string | null; slipNo: number | null }
  drawEvent: { entryId: string; event: string }
  drawTool: {
    entryId: string
    containerLitres: number | null
    tankAreaM2: number | null
    tankRiseM: number | null
    oldLastM3: number | null
    newFirstM3: number | null
    newSerial: string | null
  }
  /** The timings of a bucket, of a draw or of a flow test. */
  bucketTiming: { entryId: string; place: number; seconds: number }
  flowTestNote: { entryId: string; containerLitres: number; pumpState: string; remark: string | null }
  flagSettled: { entryId: string; subjectId: string; code: string; words: string }
  pumpDayReading: {
    entryId: string
    pumpId: string
    onDate: string
    atTime: string
    moment: string
    meterM3: number
    hourMeterH: number | null
    remark: string | null
  }
  tank: { entryId: string; number: number; name: string; pumpId: string; areaM2: number; heightM: number }
  tankReading: {
    entryId: string
    tankId: string
    onDate: string
    atTime: string
    moment: string
    levelM: number
  }
  slipBook: { entryId: string; pumpId: string; fromOn: string; firstNo: number; lastNo: number }
  logClosing: {
    entryId: string
    span: string
    pumpId: string
    fromOn: string
    toOn: string
    meterM3: number | null
    hourMeterH: number | null
    firstSlipNo: number | null
    lastSlipNo: number | null
    cashMinor: number | null
    cashToId: string | null
    words: string | null
    /** What was named as open when it was closed, as JSON. */
    found: string
  }
  fault: { entryId: string; pumpId: string; foundOn: string; what: string; stopsPump: number }
  faultFix: {
    entryId: string
    faultId: string
    fixedOn: string
    cause: string
    daysLost: number
    spares: string | null
    costMinor: number | null
    voucher: string | null
  }
  pumpService: {
    entryId: string
    pumpId: string
    doneOn: string
    hourMeterH: number
    nextAfterH: number
    words: string | null
  }
  nightTest: { entryId: string; tankId: string; onDate: string; remark: string | null }
  nightReading: {
    entryId: string
    place: number
    line: string | null
    startLevelM: number
    endLevelM: number
    hours: number
  }
  /** Beside a fault: the outlet that it struck, where not the whole pump, and the day from which it is said to run again. */
  faultPlace: { entryId: string; outletId: string | null; runsAgainOn: string | null }
  /** A pump's meter from a day on; hangs on a draw that it was replaced in, or stands alone. */
  pumpMeter: {
    entryId: string
    pumpId: string
    onDate: string
    atTime: string
    digits: number
    oldLastM3: number
    newFirstM3: number
    serial: string | null
  }
  meterNightTest: { entryId: string; pumpId: string; onDate: string; remark: string | null }
  meterNightReading: {
    entryId: string
    place: number
    line: string | null
    startM3: number
    endM3: number
    hours: number
  }
  clashSettled: { entryId: string; kind: string; firstId: string; secondId: string; words: string }
  /** The day's line of a tank's sheet, beside the levels and the draws that were written with it. */
  tankDay: {
    entryId: string
    tankId: string
    onDate: string
    filledM3: number | null
    animals: number | null
    remark: string | null
  }
  /** The slip that came back for a draw that was in the book already. */
  drawSlip: { entryId: string; subjectId: string; slipNo: number }
}
