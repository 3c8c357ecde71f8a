import { minuteField } from '../../people/decision/state.ts'
import { date, number, optional, select, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

export function tariffForm(currency: string) {
  const EVERY = ['month', 'season'] as const
  return defineForm('fees.tariff', {
    fromOn: date(),
    perM3: money(currency),
    firstUpToM3: optional(number({ min: 0.001, max: 100_000 }, 'width of a tariff step, m3')),
    secondPerM3: optional(money(currency)),
    secondUpToM3: optional(number({ min: 0.001, max: 100_000 }, 'width of a tariff step, m3')),
    thirdPerM3: optional(money(currency)),
    perPumpHour: optional(money(currency)),
    perTurn: optional(money(currency)),
    perNoShow: optional(money(currency)),
    noShowPercent: optional(number({ min: 1, max: 100 })),
    perShare: optional(money(currency)),
    perShareEvery: optional(select(EVERY)),
    perHectare: optional(money(currency)),
    perHectareEvery: optional(select(EVERY)),
    flat: optional(money(currency)),
    flatEvery: optional(select(EVERY)),
    tenantPerM3: optional(money(currency)),
    schoolPerM3: optional(money(currency)),
    drinkingFree: tick(),
    minute: optional(minuteField()),
  })
}
