import { type Register, type Trouble, trouble } from '../../book/register/register.ts'
import { countOptions, volumeCounted, type WrittenVolume } from '../../people/measure/volume-state.ts'
import { inCm } from '../../web/forms/typed.ts'
import { unusual } from '../../web/forms/unusual.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { listPumps } from '../pump/store.ts'
import { TANK_M2, TankForm, TankReadingForm } from './forms.ts'
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
  options: async (desk) => ({
    pumpId: (await listPumps(desk.db, desk.today)).map(numberedOption),
    holdsIn: await countOptions(desk),
  }),
  facts: async ({ number, name, pumpId, height, ...size }, desk) => {
    if ((await listTanks(desk.db)).some((tank) => tank.number === number)) {
      return trouble('number', 'people.number-taken', { number })
    }
    const floor = await floorTyped({ ...size, height }, desk)
    if ('trouble' in floor) return floor
    return { tank: [{ number, name, pumpId, areaM2: floor.areaM2, heightM: height }], ...floor.typed }
  },
  doubt: ({ holds }, { tank: [row] = [] }) => {
    const rare = holds === null ? null : unusual('area of a tank, m2', row!.areaM2)
    return rare && { field: 'holds', key: 'abstractions.tank.rare-floor', values: rare.values }
  },
}

interface TypedSize {
  area: number | null
  height: number
  holds: number | null
  holdsIn: string | null
}

/** The floor of a tank, m2: measured, or from what it holds up to the rim. Source: area = volume / height. */
async function floorTyped(
  { area, height, holds, holdsIn }: TypedSize,
  { db, today }: Desk,
): Promise<Trouble | { areaM2: number; typed: WrittenVolume['typed'] }> {
  if (holds === null) return area === null ? trouble('area', 'abstractions.tank.no-size') : { areaM2: area, typed: {} }
  if (area !== null) return trouble('holds', 'abstractions.tank.size-twice')
  // Whoever leaves the unit out means litres as often as m3.
  const read = holdsIn === null ? null : await volumeCounted(db, { figure: holds, unit: holdsIn, on: today })
  if (read === null) return trouble('holdsIn', 'error.choose')
  const areaM2 = Math.round((read.volumeM3 / height) * 1e4) / 1e4
  if (areaM2 < TANK_M2.min || areaM2 > TANK_M2.max)
    return trouble('holds', 'abstractions.tank.size-beyond', { area: areaM2, least: TANK_M2.min, most: TANK_M2.max })
  return { areaM2, typed: read.typed }
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
