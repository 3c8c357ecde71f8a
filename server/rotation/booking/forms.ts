import { askedFields } from '../../book/asked/fields.ts'
import { date, number, seldom, select, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

export const BookingForm = defineForm('day.booking', {
  plotId: select(),
  outletId: select(),
  onDate: date(),
  start: time(),
  volume: number({ min: 0.02, max: 10_000 }, 'water of a turn, m3'),
  volumeIn: { ...seldom(select()), words: 'rotation.request.askedIn' },
  ...askedFields,
})
