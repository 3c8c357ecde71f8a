import { date, folded, number, optional, select, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'

const heads = () => whole({ min: 0, max: 100_000 }, 'heads that drink')
const litres = () => folded(number({ min: 0, max: 500 }, 'litres a head and day'))

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

const ELSEWHERE = ['cannot', 'three-weeks'] as const
/** As many weeks as a group that can fetch its water elsewhere does so. */
export const FETCH_WEEKS = { cannot: 0, 'three-weeks': 3 } as const

export const CautionForm = defineForm('water.cautionForm', {
  rememberedWeeks: optional(whole({ min: 0, max: 26 })),
  elsewhere: select(ELSEWHERE),
  fromOn: date(),
})

export const SettingForm = defineForm('water.setting', {
  lateRainOn: date(),
  wetRain: number({ min: 0, max: 500 }, 'rain that ends the dry season, mm'),
  fromOn: date(),
})
