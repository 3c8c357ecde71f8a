import { askedFields } from '../../book/asked/fields.ts'
import { date, seldom, select, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { volumeField } from '../typed-volume.ts'

export const BookingForm = defineForm('day.booking', {
  plotId: select(),
  outletId: select(),
  onDate: date(),
  start: time(),
  volume: volumeField(),
  volumeIn: { ...seldom(select()), words: 'rotation.request.askedIn' },
  ...askedFields,
})
