import type { Register } from '../../book/register/register.ts'
import { figure } from '../../web/forms/typed.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { PumpReadingForm } from './forms.ts'
import { listPumps } from './store.ts'

/** A pump's meter at dawn or dusk, on the screen or as a line of paper. */
export const pumpReadingRegister: Register<typeof PumpReadingForm.fields> = {
  path: '/works/pump-readings',
  kind: 'pump-day-reading',
  title: 'abstractions.pumps.reading-title',
  permission: 'abstraction.log',
  back: '/works/balance/pumps',
  onField: 'onDate',
  atField: 'atTime',
  form: () => PumpReadingForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  facts: async ({ pumpId, moment, meter, hourMeter, atTime, onDate, remark }) => {
    const reading = { pump_id: pumpId, moment, meter_m3: meter, hour_meter_h: hourMeter, at_time: atTime }
    return { pump_day_reading: [{ ...reading, on_date: onDate, remark }] }
  },
  lines: {
    tables: ['pump_day_reading'],
    typed: ({ pump_day_reading: [row] = [] }) => ({
      pumpId: row!.pump_id,
      moment: row!.moment,
      meter: figure(row!.meter_m3),
      hourMeter: figure(row!.hour_meter_h),
      atTime: row!.at_time,
      onDate: row!.on_date,
      remark: row!.remark ?? '',
    }),
  },
}
