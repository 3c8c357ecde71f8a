import { date, number, optional, seldom, select, text, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const VOLUME = { min: 0.02, max: 10_000 }
const VOLUME_IN = { ...seldom(select()), words: 'rotation.request.askedIn' }

const CHANGE = {
  kind: select(['move', 'lengthen', 'drop']),
  onDate: optional(date()),
  start: optional(time()),
  volume: optional(number(VOLUME, 'water of a turn, m3')),
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
  volume: number(VOLUME, 'water of a turn, m3'),
  volumeIn: VOLUME_IN,
  reason: text({ max: 160 }),
})

export const WithdrawalForm = defineForm('manual-change.withdrawal', { reason: text({ max: 160 }) })
