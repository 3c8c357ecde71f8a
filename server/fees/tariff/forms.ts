import { minuteField } from '../../people/decision/state.ts'
import { date, number, optional, seldom, select, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'

export function tariffForm(currency: string) {
  const EVERY = ['month', 'season'] as const
  return defineForm('fees.tariff', {
    fromOn: date(),
    perM3: money(currency),
    firstUpToM3: seldom(number({ min: 0.001, max: 100_000 }, 'width of a tariff step, m3')),
    secondPerM3: seldom(money(currency)),
    secondUpToM3: seldom(number({ min: 0.001, max: 100_000 }, 'width of a tariff step, m3')),
    thirdPerM3: seldom(money(currency)),
    perPumpHour: seldom(money(currency)),
    perTurn: seldom(money(currency)),
    perNoShow: seldom(money(currency)),
    noShowPercent: seldom(number({ min: 1, max: 100 })),
    perShare: seldom(money(currency)),
    perShareEvery: seldom(select(EVERY)),
    perHectare: seldom(money(currency)),
    perHectareEvery: seldom(select(EVERY)),
    flat: seldom(money(currency)),
    flatEvery: seldom(select(EVERY)),
    tenantPerM3: seldom(money(currency)),
    schoolPerM3: seldom(money(currency)),
    drinkingFree: tick(),
    minute: optional(minuteField()),
  })
}
