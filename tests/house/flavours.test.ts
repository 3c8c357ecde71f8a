import { expectTypeOf, it } from 'vitest'
import type { CalendarDate, Instant } from '../../domain/calendar.ts'
import type { Id } from '../../domain/id.ts'
import type { Minor } from '../../domain/money/money.ts'
import type { Litres, M3 } from '../../domain/units.ts'

/** What the type check refuses: nothing happens when it is run. */
it('lets no id, day, moment, volume or amount stand in for another kind', () => {
  expectTypeOf<Id<'pump'>>().not.toExtend<Id<'plot'>>()
  expectTypeOf<string>().toExtend<Id<'plot'>>()
  expectTypeOf<CalendarDate>().not.toExtend<Instant>()
  expectTypeOf<CalendarDate>().not.toExtend<Id<'plot'>>()
  expectTypeOf<Litres>().not.toExtend<M3>()
  expectTypeOf<Minor>().not.toExtend<M3>()
  expectTypeOf<number>().toExtend<M3>()
})
