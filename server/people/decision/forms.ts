import { DECIDING_BODIES, QUORUM_PARTS } from '../../../domain/people/decision.ts'
import { date, lines, optional, seldom, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const votes = () => optional(whole({ min: 0, max: 9999 }))

export const DecisionForm = defineForm('decision', {
  number: text({ max: 60 }),
  metOn: date(),
  body: select(DECIDING_BODIES),
  words: lines({ max: 2000 }),
  present: votes(),
  votesFor: votes(),
  votesAgainst: votes(),
  abstained: votes(),
  officersWords: seldom(text({ max: 400 })),
})

export const QuorumForm = defineForm('decision.quorum', {
  body: select(DECIDING_BODIES),
  part: select(QUORUM_PARTS),
  fromOn: date(),
})
