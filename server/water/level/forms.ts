import { date, number, seldom, select, text, tick, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const levelFields = {
  weirId: select(),
  readOn: date(),
  readAt: time(),
  depth: number({ min: -500, max: 3000 }, 'level on a stick, cm'),
  pumpRunning: tick(),
  pumpOffOn: seldom(date()),
  pumpOffAt: seldom(time()),
  flowSeen: tick(),
  readerId: seldom(select()),
  remark: seldom(text({ max: 300 })),
}

export const LevelForm = defineForm('water.level', levelFields)

export const LevelCorrectionForm = defineForm('water.level', { ...levelFields, reason: text({ max: 300 }) })
