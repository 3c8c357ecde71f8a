import { date, number, optional, select, text, tick, time } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const levelFields = {
  weirId: select(),
  readOn: date(),
  readAt: time(),
  depth: number({ min: -500, max: 3000 }),
  pumpRunning: tick(),
  pumpOffOn: optional(date()),
  pumpOffAt: optional(time()),
  flowSeen: tick(),
  readerId: optional(select()),
  remark: optional(text({ max: 300 })),
}

export const LevelForm = defineForm('water.level', levelFields)

export const LevelCorrectionForm = defineForm('water.level', { ...levelFields, reason: text({ max: 300 }) })
