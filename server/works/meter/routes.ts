import { type Register, trouble } from '../../book/register/register.ts'
import { addRegister } from '../../book/register/routes.ts'
import { date, number, optional, select, text, time, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { figure } from '../../web/forms/typed.ts'
import type { Pages } from '../../web/pages/desk.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { listPumps } from '../pump/store.ts'

const reading = () => number({ min: 0, max: 999_999_999 })

const MeterForm = defineForm('works.meter', {
  pumpId: select(),
  oldLast: reading(),
  newFirst: reading(),
  digits: whole({ min: 3, max: 9 }),
  serial: optional(text({ max: 40 })),
  atTime: time(),
  onDate: date(),
})

/** A pump's meter that was replaced between two draws: what the old one showed last, and what the new one counts from. */
export function addMeterPages(pages: Pages): void {
  addRegister(pages, meterRegister)
}

const meterRegister: Register<typeof MeterForm.fields> = {
  path: '/works/meters',
  kind: 'pump-meter',
  title: 'works.meter-title',
  permission: 'abstraction.log',
  back: '/works/balance/pumps',
  onField: 'onDate',
  atField: 'atTime',
  intro: ['works.meter-how'],
  form: () => MeterForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  facts: async ({ pumpId, oldLast, newFirst, digits, serial, atTime, onDate }, { db }) => {
    if (!(await listPumps(db, onDate)).some((pump) => pump.id === pumpId)) return trouble('pumpId', 'error.choose')
    if (newFirst >= 10 ** digits) return trouble('newFirst', 'works.meter-too-long', { digits })
    const readings = { old_last_m3: oldLast, new_first_m3: newFirst, digits, serial }
    return { pump_meter: [{ pump_id: pumpId, on_date: onDate, at_time: atTime, ...readings }] }
  },
  lines: {
    tables: ['pump_meter'],
    typed: ({ pump_meter: [row] = [] }) => ({
      pumpId: row!.pump_id,
      onDate: row!.on_date,
      atTime: row!.at_time,
      serial: row!.serial ?? '',
      oldLast: figure(row!.old_last_m3),
      newFirst: figure(row!.new_first_m3),
      digits: figure(row!.digits),
    }),
  },
}
