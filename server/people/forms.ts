import { ROLES } from '../../domain/people/permissions.ts'
import { checks, date, number, optional, password, select, text, tick, whole } from '../web/forms/fields.ts'
import { defineForm } from '../web/forms/forms.ts'

const WEEKDAYS = ['1', '2', '3', '4', '5', '6', '7'] as const
const SOILS = [
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
const METHODS = ['drip', 'sprinkler', 'surface', 'hose_or_can'] as const

const groupFields = {
  name: text(),
  latitude: number({ min: -66, max: 66 }),
  longitude: number({ min: -180, max: 180 }),
  elevation: number({ min: -400, max: 5000 }),
  timeZone: text(),
  currency: text({ max: 3 }),
  firstWeekday: select(WEEKDAYS),
  seasonStart: date(),
  seasonEnd: date(),
}

export const GroupForm = defineForm('people.group', groupFields)

export const StartForm = defineForm('people.group', {
  code: text({ max: 12 }),
  ...groupFields,
  personName: text(),
  signInName: text({ max: 30 }),
  password: password(),
})

export const SignInForm = defineForm('people.sign-in', {
  signInName: { ...text({ max: 30 }), autocomplete: 'username' },
  password: password({ min: 1, autocomplete: 'current-password' }),
  shared: tick(),
})

export const PersonForm = defineForm('people.person', {
  number: whole({ min: 1, max: 9999 }),
  name: text(),
  phone: optional(text({ max: 30 })),
  roles: checks(ROLES, { atLeast: 1 }),
  signInName: optional(text({ max: 30 })),
  password: optional(password()),
})

export const RolesForm = defineForm('people.roles', { roles: checks(ROLES, { atLeast: 1 }), fromOn: date() })

export const PasswordForm = defineForm('people.password', {
  oldPassword: password({ min: 1, autocomplete: 'current-password' }),
  password: password(),
})

export const PumpForm = defineForm('people.pump', {
  number: whole({ min: 1, max: 999 }),
  name: text(),
  weirId: select(),
  usualFlow: number({ min: 0.05, max: 500 }),
  firstHour: whole({ min: 0, max: 23 }),
  lastHour: whole({ min: 1, max: 24 }),
  sunThreshold: number({ min: 0, max: 900 }),
  meterDigits: whole({ min: 3, max: 9 }),
  outletsAtOnce: whole({ min: 1, max: 50 }),
  usualDay: optional(number({ min: 0.1, max: 5000 })),
  fromOn: date(),
})

export const OutletForm = defineForm('people.outlet', {
  number: whole({ min: 1, max: 9999 }),
  name: text(),
  pumpId: select(),
  flow: number({ min: 0.02, max: 500 }),
  testedOn: date(),
})

export const FlowTestForm = defineForm('people.outlet', {
  flow: number({ min: 0.02, max: 500 }),
  testedOn: date(),
})

const plotDetailFields = {
  area: number({ min: 1, max: 1_000_000 }),
  soil: select(SOILS),
  method: select(METHODS),
  outletIds: checks(undefined, { atLeast: 1 }),
  shares: number({ min: 0, max: 1000 }),
  fromOn: date(),
}

export const PlotForm = defineForm('people.plot', {
  number: whole({ min: 1, max: 9999 }),
  name: text(),
  holderIds: checks(undefined, { atLeast: 1 }),
  ...plotDetailFields,
})

export const PlotDetailForm = defineForm('people.plot', plotDetailFields)

export const HoldersForm = defineForm('people.plot', { holderIds: checks(undefined, { atLeast: 1 }), fromOn: date() })

export const ReceivedBeforeForm = defineForm('people.received-before', {
  plotId: select(),
  untilOn: date(),
  volume: number({ min: 0, max: 1_000_000 }),
})
