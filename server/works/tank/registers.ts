import { type Register, trouble } from '../../book/register/register.ts'
import { inCm } from '../../web/forms/typed.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { listPumps } from '../pump/store.ts'
import { TankForm, TankReadingForm } from './forms.ts'
import { listTanks } from './store.ts'

export const tankRegister: Register<typeof TankForm.fields> = {
  writtenAt: '/works/tanks/new',
  kind: 'tank',
  title: 'abstractions.pumps.tank-title',
  cautions: [
    'tank-turn.caution-weight',
    'tank-turn.caution-overflow',
    'tank-turn.caution-climb',
    'works.caution-chlorine',
  ],
  permission: 'works.describe',
  back: '/log/working/pumps',
  onField: 'fromOn',
  form: () => TankForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  facts: async ({ number, name, pumpId, area, height }, { db }) => {
    if ((await listTanks(db)).some((tank) => tank.number === number)) {
      return trouble('number', 'people.number-taken', { number })
    }
    return { tank: [{ number, name, pumpId, areaM2: area, heightM: height }] }
  },
}

export const tankReadingRegister: Register<typeof TankReadingForm.fields> = {
  writtenAt: '/log/round?as=tank',
  kind: 'tank-reading',
  title: 'abstractions.pumps.tank-reading-title',
  cautions: ['tank-turn.caution-climb', 'works.caution-night'],
  permission: 'abstraction.log',
  back: '/log/working/pumps',
  onField: 'onDate',
  atField: 'atTime',
  keeps: ['moment', 'atTime'],
  form: () => TankReadingForm,
  options: async ({ db }) => ({ tankId: (await listTanks(db)).map(numberedOption) }),
  facts: async ({ tankId, moment, level, atTime, onDate }, { db }) => {
    const tank = (await listTanks(db)).find((one) => one.id === tankId)
    if (!tank) return trouble('tankId', 'error.choose')
    if (level / 100 > tank.heightM)
      return trouble('level', 'abstractions.pumps.above-rim', { height: tank.heightM * 100 })
    return { tankReading: [{ tankId, moment, levelM: level / 100, atTime, onDate }] }
  },
  lines: {
    path: '/log/lines/tank',
    tables: ['tankReading'],
    typed: ({ tankReading: [row] = [] }) => ({
      tankId: row!.tankId,
      moment: row!.moment,
      level: inCm(row!.levelM),
      atTime: row!.atTime,
      onDate: row!.onDate,
    }),
  },
}
