import { date, optional, seldom, select, text, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { volumeField } from '../typed-volume.ts'

const VOLUME_IN = { ...seldom(select()), words: 'rotation.request.askedIn' }

const CHANGE = {
  kind: select(['move', 'lengthen', 'drop']),
  onDate: optional(date()),
  start: optional(time()),
  volume: optional(volumeField()),
  volumeIn: VOLUME_IN,
  reason: text({ max: 160 }),
}

/** What the committee changes at one turn; empty fields leave the turn as it is. */
export const TurnChangeForm = defineForm('manual-change.change', CHANGE)

/** The same, where the turn is still to be chosen. */
export const AnyTurnChangeForm = defineForm('manual-change.change', { turn: select(), ...CHANGE })

export const TurnAdditionForm = defineForm('manual-change.addition', {
  plotId: select(),
  outletId: select(),
  onDate: date(),
  start: time(),
  volume: volumeField(),
  volumeIn: VOLUME_IN,
  reason: text({ max: 160 }),
})

export const WithdrawalForm = defineForm('manual-change.withdrawal', { reason: text({ max: 160 }) })
