import { date, select } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const MarketWeekForm = defineForm('people.market-week', {
  fromOn: date(),
  daysInWeek: select(['4', '5', '6', '7', '8']),
})
