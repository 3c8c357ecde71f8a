import { SEDIMENT_YIELDS } from '../../domain/water/index.ts'
import { date, number, optional, select, text, tick, time, whole } from '../web/forms/fields.ts'
import { defineForm } from '../web/forms/forms.ts'
import { WEIR_SHAPES } from './weir/store.ts'

const surveyFields = {
  crestLevel: number({ min: -500, max: 9000 }),
  crestHeight: number({ min: 0.2, max: 15 }),
  crestWidth: number({ min: 0.5, max: 500 }),
  bedSlope: number({ min: 0.05, max: 30 }),
  valleyShape: select(WEIR_SHAPES),
  sandType: select(SEDIMENT_YIELDS.map(({ sediment }) => sediment)),
  offTakeAboveBed: number({ min: 0, max: 15 }),
  markAboveCrest: number({ min: -15, max: 10 }),
  loss: optional(number({ min: -5, max: 20 })),
  fromOn: date(),
}

export const WeirForm = defineForm('water.weir', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
  distance: number({ min: 0, max: 200_000 }),
  ...surveyFields,
})

export const SurveyForm = defineForm('water.weir', surveyFields)

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

const heads = () => whole({ min: 0, max: 100_000 })
const litres = () => number({ min: 0, max: 500 })

/** Each kind's heads and litres stand next to each other, on the screen as on the printed page. */
export const UsersForm = defineForm('water.users', {
  weirId: select(),
  people: heads(),
  peopleLitres: litres(),
  pupils: heads(),
  pupilLitres: litres(),
  cattle: heads(),
  cattleLitres: litres(),
  donkeys: heads(),
  donkeyLitres: litres(),
  goatsAndSheep: heads(),
  goatOrSheepLitres: litres(),
  fromOn: date(),
})

export const SettingForm = defineForm('water.setting', {
  lateRainOn: date(),
  wetRain: number({ min: 0, max: 500 }),
  fromOn: date(),
})
