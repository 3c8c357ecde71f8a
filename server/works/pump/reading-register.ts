import type { Register } from '../../book/register/register.ts'
import { figure } from '../../web/forms/typed.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { PumpReadingForm } from './forms.ts'
import { listPumps } from './store.ts'

/** A pump's meter at dawn or dusk, on the screen or as a line of paper. */
export const pumpReadingRegister: Register<typeof PumpReadingForm.fields> = {
  writtenAt: '/log/round?as=meter',
  kind: 'pump-day-reading',
  title: 'abstractions.pumps.reading-title',
  cautions: ['people.pump.caution-electric'],
  permission: 'abstraction.log',
  back: '/log/working/pumps',
  onField: 'onDate',
  atField: 'atTime',
  keeps: ['moment', 'atTime'],
  form: () => PumpReadingForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  facts: async ({ pumpId, moment, meter, hourMeter, atTime, onDate, remark }) => {
    const reading = { pumpId, moment, meterM3: meter, hourMeterH: hourMeter, atTime }
    return { pumpDayReading: [{ ...reading, onDate, remark }] }
  },
  lines: {
    path: '/log/lines/meter',
    tables: ['pumpDayReading'],
    typed: ({ pumpDayReading: [row] = [] }) => ({
      pumpId: row!.pumpId,
      moment: row!.moment,
      meter: figure(row!.meterM3),
      hourMeter: figure(row!.hourMeterH),
      atTime: row!.atTime,
      onDate: row!.onDate,
      remark: row!.remark ?? '',
    }),
  },
}
