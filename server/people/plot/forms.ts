import { area, checks, date, number, optional, orUnknown, select, text, whole } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { COUNTED_LAND } from '../measure/land-state.ts'
import { COUNTED_IN } from '../measure/volume-state.ts'

export const SOILS = [
  'sand',
  'loamy_sand',
  'sandy_loam',
  'loam',
  'silt_loam',
  'silt',
  'silty_clay_loam',
  'silty_clay',
  'clay',
] as const
export const METHODS = ['drip', 'sprinkler', 'surface', 'hose_or_can'] as const

const plotDetailFields = {
  area: orUnknown(area({ min: 1, max: 1_000_000 }, 'area of a plot, m2')),
  soil: select(SOILS),
  method: select(METHODS),
  outletIds: checks(undefined, { atLeast: 1 }),
  shares: number({ min: 0, max: 1000 }, 'shares of a plot'),
  fromOn: date(),
  ...COUNTED_LAND,
}

export const PlotForm = defineForm('people.plot', {
  number: whole({ min: 1, max: 9999 }),
  name: text(),
  holderIds: checks(undefined, { atLeast: 1 }),
  ...plotDetailFields,
})

export const PlotDetailForm = defineForm('people.plot', plotDetailFields)

export const HoldersForm = defineForm('people.plot', {
  holderIds: checks(undefined, { atLeast: 1 }),
  parts: optional(text({ max: 60 })),
  fromOn: date(),
})

export const ReceivedBeforeForm = defineForm('people.received-before', {
  plotId: select(),
  untilOn: date(),
  volume: number({ min: 0, max: 100_000_000 }),
  volumeIn: COUNTED_IN,
})
