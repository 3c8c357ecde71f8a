import type { Database } from '../../database/connection.ts'
import type { Measure, Use } from './types.ts'

/** Draws with the numbers and names that go beside them on every page; callers narrow it down. */
export function abstractionRows(db: Database) {
  return db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entryId')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .innerJoin('weir', 'weir.entryId', 'abstraction.weirId')
    .leftJoin('pump', 'pump.entryId', 'abstraction.pumpId')
    .leftJoin('outlet', 'outlet.entryId', 'abstraction.outletId')
    .leftJoin('plot', 'plot.entryId', 'abstraction.plotId')
    .leftJoin('person as taker', 'taker.entryId', 'abstraction.takerId')
    .select([
      'abstraction.entryId as id',
      'abstraction.onDate',
      'abstraction.weirId',
      'abstraction.pumpId',
      'abstraction.outletId',
      'abstraction.plotId',
      'abstraction.turnId',
      'abstraction.takerId',
      'abstraction.openingM3',
      'abstraction.closingM3',
      'abstraction.hours',
      'abstraction.flowM3PerH',
      'abstraction.startTime',
      'abstraction.endTime',
      'abstraction.volumeM3',
      'abstraction.uncertaintyM3',
      'abstraction.remark',
      'entry.happenedAt',
      'entry.writtenAt',
      'entry.correctsId',
      'entry.reason',
      'writer.name as writerName',
      'weir.number as weirNumber',
      'weir.name as weirName',
      'pump.number as pumpNumber',
      'outlet.number as outletNumber',
      'outlet.name as outletName',
      'plot.number as plotNumber',
      'plot.name as plotName',
      'taker.number as takerNumber',
      'taker.name as takerName',
    ])
    .select((eb) => [
      eb.ref('abstraction.use').$castTo<Use>().as('use'),
      eb.ref('abstraction.method').$castTo<Measure>().as('method'),
      eb.ref('abstraction.grade').$castTo<'measured' | 'estimated'>().as('grade'),
    ])
}
