import { date, select, text } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const MarketWeekForm = defineForm('people.market-week', {
  fromOn: date(),
  daysInWeek: select(['4', '5', '6', '7', '8']),
})

export const MarketWeekWithdrawalForm = defineForm('people.market-week.withdrawal', { reason: text({ max: 160 }) })
