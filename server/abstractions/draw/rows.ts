import type { Database } from '../../database/connection.ts'
import type { Measure, Use } from './types.ts'

/** Draws with the numbers and names that go beside them on every page; callers narrow it down. */
export function abstractionRows(db: Database) {
  return db
    .selectFrom('abstraction')
    .innerJoin('entry', 'entry.id', 'abstraction.entry_id')
    .innerJoin('person as writer', 'writer.entry_id', 'entry.written_by')
    .innerJoin('weir', 'weir.entry_id', 'abstraction.weir_id')
    .leftJoin('pump', 'pump.entry_id', 'abstraction.pump_id')
    .leftJoin('outlet', 'outlet.entry_id', 'abstraction.outlet_id')
    .leftJoin('plot', 'plot.entry_id', 'abstraction.plot_id')
    .leftJoin('person as taker', 'taker.entry_id', 'abstraction.taker_id')
    .select([
      'abstraction.entry_id as id',
      'abstraction.on_date as onDate',
      'abstraction.weir_id as weirId',
      'abstraction.pump_id as pumpId',
      'abstraction.outlet_id as outletId',
      'abstraction.plot_id as plotId',
      'abstraction.turn_id as turnId',
      'abstraction.taker_id as takerId',
      'abstraction.opening_m3 as openingM3',
      'abstraction.closing_m3 as closingM3',
      'abstraction.hours as hours',
      'abstraction.flow_m3_per_h as flowM3PerH',
      'abstraction.start_time as startTime',
      'abstraction.end_time as endTime',
      'abstraction.volume_m3 as volumeM3',
      'abstraction.uncertainty_m3 as uncertaintyM3',
      'abstraction.remark as remark',
      'entry.happened_at as happenedAt',
      'entry.written_at as writtenAt',
      'entry.corrects_id as correctsId',
      'entry.reason as reason',
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
