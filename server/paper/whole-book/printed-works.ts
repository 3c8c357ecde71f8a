import type { CalendarDate } from '../../../domain/calendar.ts'
import { listClosings } from '../../abstractions/closing/store.ts'
import { nightTests } from '../../abstractions/night-test/store.ts'
import { worksOn } from '../../abstractions/place/store.ts'
import { approvals } from '../../book/names/approvals.ts'
import { listFaults } from '../../works/fault/store.ts'
import { testsByOutlet } from '../../works/flow-test/store.ts'
import { levels, type PrintedBook, pumpLog, pumpMeters, tanks, turns, weather } from './printed-books.ts'

const within = (on: string, { fromOn, toOn }: { fromOn: CalendarDate; toOn: CalendarDate }) =>
  on >= fromOn && on <= toOn

const flowTests: PrintedBook = {
  name: 'flow-tests',
  tables: ['outletFlowTest', 'bucketTiming', 'flowTestNote'],
  title: 'paper.book.flow-tests',
  heads: [
    ...['abstractions.flow-test.onDate', 'abstractions.flow-test.outletId', 'paper.print.flow', 'paper.print.timings'],
    'abstractions.flow-test.pumpState',
  ],
  rows: async (db, { locale, format }, span) => {
    const tests = await testsByOutlet(db)
    const { outlets } = await worksOn(db, span.toOn)
    const lines = outlets.flatMap((outlet) => (tests.get(outlet.id) ?? []).map((test) => ({ outlet, ...test })))
    return lines
      .filter(({ testedOn }) => within(testedOn, span))
      .toSorted((a, b) => (a.testedOn < b.testedOn ? -1 : 1))
      .map(({ testedOn, outlet, flowM3PerH, seconds, pumpState }) => [
        ...[format.date(testedOn), `${outlet.number} ${outlet.name}`, format.two(flowM3PerH)],
        ...[seconds.map((one) => format.one(one)).join('; ')],
        pumpState === null ? '' : locale.t(`abstractions.flow-test.pumpState.${pumpState}`),
      ])
  },
}

const nights: PrintedBook = {
  name: 'night-tests',
  tables: ['nightTest', 'nightReading'],
  title: 'abstractions.night.title',
  heads: [
    ...['abstractions.night-test.onDate', 'abstractions.night-test.tankId', 'abstractions.night.line'],
    ...['paper.print.lost', 'abstractions.night-test.remark'],
  ],
  rows: async (db, { locale, format }, span) =>
    (await nightTests(db))
      .filter(({ onDate }) => within(onDate, span))
      .toReversed()
      .flatMap(({ onDate, name, losses, remark }) =>
        losses.map(({ lineId, lostM3 }) => [
          ...[format.date(onDate), name, lineId ?? locale.t('abstractions.night.all-shut'), format.litres(lostM3)],
          remark,
        ]),
      ),
}

const faults: PrintedBook = {
  name: 'faults',
  tables: ['fault', 'faultFix'],
  title: 'abstractions.faults.title',
  heads: ['faults.found', 'pumps.pump', 'faults.what', 'fault-fix.onDate', 'fault-fix.cause', 'faults.days'].map(
    (key) => `abstractions.${key}`,
  ),
  rows: async (db, { format }) =>
    (await listFaults(db)).map(({ foundOn, pumpNumber, what, fix }) => [
      ...[format.date(foundOn), pumpNumber, what, fix ? format.date(fix.fixedOn) : '', fix?.cause ?? ''],
      fix ? format.one(fix.daysLost) : '',
    ]),
}

/** Cash that was handed over is money, so it stands in the pages of money alone. */
const closings: PrintedBook = {
  name: 'closings',
  tables: ['logClosing'],
  title: 'abstractions.closings.title',
  heads: [
    ...['paper.print.from', 'abstractions.closing.toOn', 'abstractions.closing.pumpId', 'abstractions.closing.meter'],
    ...['abstractions.closing.hourMeter', 'abstractions.closings.slips', 'abstractions.closings.names'],
    ...['abstractions.closing.words', 'paper.print.gaps'],
  ],
  rows: async (db, { format }, span) => {
    const names = await approvals(db)
    return (await listClosings(db))
      .filter(({ toOn }) => within(toOn, span))
      .toReversed()
      .map((one) => [
        ...[format.date(one.fromOn), format.date(one.toOn), one.pumpNumber],
        ...[one.meterM3 === null ? '' : format.toLitre(one.meterM3), one.hourMeterH],
        one.firstSlipNo === null ? '' : `${one.firstSlipNo}–${one.lastSlipNo}`,
        [one.writerName, names.get(one.id)?.approverName].filter(Boolean).join(', '),
        ...[one.words, one.found.length],
      ])
  },
}

/** The water side of the group's book, in the order in which it is printed. */
export const PRINTED_WORKS: readonly PrintedBook[] = [
  ...[turns, pumpLog, pumpMeters, tanks, levels, weather],
  ...[flowTests, nights, faults, closings],
]
