import { NAME_NEEDED } from '../../book/name-needed.ts'
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
  writtenAt: '/log/meter',
  kind: 'pump-meter',
  title: 'works.meter-title',
  cautions: ['people.pump.caution-electric'],
  permission: 'abstraction.log',
  back: '/log/working/pumps',
  onField: 'onDate',
  atField: 'atTime',
  intro: ['works.meter-how', 'works.meter-name'],
  form: () => MeterForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  facts: async ({ pumpId, oldLast, newFirst, digits, serial, atTime, onDate }, { db }) => {
    if (!(await listPumps(db, onDate)).some((pump) => pump.id === pumpId)) return trouble('pumpId', 'error.choose')
    if (newFirst >= 10 ** digits) return trouble('newFirst', 'works.meter-too-long', { digits })
    const readings = { oldLastM3: oldLast, newFirstM3: newFirst, digits, serial }
    return { pumpMeter: [{ pumpId, onDate, atTime, ...readings }], ...NAME_NEEDED }
  },
  lines: {
    path: '/log/lines/new-meter',
    tables: ['pumpMeter'],
    typed: ({ pumpMeter: [row] = [] }) => ({
      pumpId: row!.pumpId,
      onDate: row!.onDate,
      atTime: row!.atTime,
      serial: row!.serial ?? '',
      oldLast: figure(row!.oldLastM3),
      newFirst: figure(row!.newFirstM3),
      digits: figure(row!.digits),
    }),
  },
}
