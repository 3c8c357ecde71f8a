import { date, number, optional, select, text, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

export const FaultForm = defineForm('abstractions.fault', {
  pumpId: select(),
  outletId: optional(select()),
  what: text({ max: 200 }),
  stopsPump: tick(),
  runsAgainOn: optional(date()),
  onDate: date(),
})

export function fixForm(currency: string) {
  return defineForm('abstractions.fault-fix', {
    faultId: select(),
    onDate: date(),
    cause: text({ max: 200 }),
    daysLost: number({ min: 0, max: 366 }, 'days lost'),
    spares: optional(text({ max: 200 })),
    cost: optional(money(currency)),
    voucher: optional(text({ max: 40 })),
  })
}

export const ServiceForm = defineForm('abstractions.service', {
  pumpId: select(),
  onDate: date(),
  hourMeter: number({ min: 0, max: 1_000_000 }, 'hours on a meter'),
  nextAfter: number({ min: 1, max: 100_000 }, 'hours to a service'),
  words: optional(text({ max: 200 })),
})
