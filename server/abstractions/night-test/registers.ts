import { meterNightTest } from '../../../domain/abstractions/night-test.ts'
import { type Register, trouble } from '../../book/register/register.ts'
import { figure, inCm } from '../../web/forms/typed.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { listPumps } from '../../works/pump/store.ts'
import { listTanks } from '../../works/tank/store.ts'
import { MeterNightForm, NightTestForm, nightLines, typedLine } from './forms.ts'

const COMMON = {
  permission: 'abstraction.log',
  onField: 'onDate',
  back: '/log/tests?as=night',
  cautions: ['works.caution-night'],
} satisfies Partial<Register<typeof NightTestForm.fields>>

export const tankNightRegister: Register<typeof NightTestForm.fields> = {
  ...COMMON,
  writtenAt: '/log/tests/night',
  kind: 'night-test',
  title: 'abstractions.night.new',
  intro: ['abstractions.night.how'],
  form: () => NightTestForm,
  options: async ({ db }) => ({ tankId: (await listTanks(db)).map(numberedOption) }),
  lines: {
    path: '/log/lines/night',
    tables: ['nightTest', 'nightReading'],
    typed: ({ nightTest: [test] = [], nightReading = [] }) => ({
      tankId: test!.tankId,
      onDate: test!.onDate,
      remark: test!.remark ?? '',
      ...Object.assign({}, ...nightReading.map((row) => typedLine(row, [inCm(row.startLevelM), inCm(row.endLevelM)]))),
    }),
  },
  facts: async ({ tankId, onDate, remark, ...typed }, { db }) => {
    if (!(await listTanks(db)).some((tank) => tank.id === tankId)) return trouble('tankId', 'error.choose')
    const lines = nightLines(typed)
    if ('trouble' in lines) return lines
    const nightReading = lines.map(({ line, start, end, hours }, place) => {
      return { place, line, startLevelM: start / 100, endLevelM: end / 100, hours }
    })
    return { nightTest: [{ tankId, onDate, remark }], nightReading }
  },
}

export const meterNightRegister: Register<typeof MeterNightForm.fields> = {
  ...COMMON,
  writtenAt: '/log/tests/night?as=meter',
  kind: 'meter-night-test',
  title: 'works.meter-night-new',
  intro: ['works.meter-night-how'],
  form: () => MeterNightForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  lines: {
    path: '/log/lines/night-meter',
    tables: ['meterNightTest', 'meterNightReading'],
    typed: ({ meterNightTest: [test] = [], meterNightReading = [] }) => ({
      pumpId: test!.pumpId,
      onDate: test!.onDate,
      remark: test!.remark ?? '',
      ...Object.assign({}, ...meterNightReading.map((row) => typedLine(row, [figure(row.startM3), figure(row.endM3)]))),
    }),
  },
  facts: async ({ pumpId, onDate, remark, ...typed }, { db }) => {
    const pump = (await listPumps(db, onDate)).find((one) => one.id === pumpId)
    if (!pump) return trouble('pumpId', 'error.choose')
    const lines = nightLines(typed)
    if ('trouble' in lines) return lines
    const meterNightReading = lines.map(({ line, start, end, hours }, place) => {
      return { place, line, startM3: start, endM3: end, hours }
    })
    const readings = lines.map(({ line, start, end, hours }) => ({ lineId: line, startM3: start, endM3: end, hours }))
    const back = readings.findIndex(
      (one) => !meterNightTest({ readings: [one], meterDigits: pump.meterDigits, readingStepM3: 1 }),
    )
    if (back >= 0) return trouble(back === 0 ? 'endLevel' : fieldOfLine(typed, back), 'works.meter-night-back')
    return { meterNightTest: [{ pumpId, onDate, remark }], meterNightReading }
  },
}

/** The end of the line that was written down at a place; lines without a name are left out. */
function fieldOfLine(typed: Record<string, unknown>, place: number): string {
  const named = [1, 2, 3].filter((at) => typed[`line${at}`] !== null)
  return `end${named[place - 1]}`
}
