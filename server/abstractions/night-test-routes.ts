import type { FastifyInstance } from 'fastify'
import { parseHours } from '../../domain/abstractions/index.ts'
import { InputError } from '../../domain/input-error.ts'
import type { Parts } from '../app.ts'
import type { AbstractionsTables } from '../database/tables/abstractions.ts'
import { date, number, optional, select, text } from '../web/fields.ts'
import { defineForm, type Typed } from '../web/forms.ts'
import { may } from '../web/guard.ts'
import { page } from '../web/page.ts'
import { hoursTyped, inCm } from './kept-store.ts'
import { nightTests } from './night-test-store.ts'
import { addRegister, type Trouble, trouble } from './register.ts'
import { listTanks } from './tank-store.ts'

const level = () => number({ min: 0, max: 5000 })
const length = () => text({ max: 12 })
const LINES = [1, 2, 3] as const

/** All valves shut first; then one line at a time opened against shut outlets. */
const NightTestForm = defineForm('abstractions.night-test', {
  tankId: select(),
  onDate: date(),
  startLevel: level(),
  endLevel: level(),
  hours: length(),
  ...{
    line1: optional(text({ max: 40 })),
    start1: optional(level()),
    end1: optional(level()),
    hours1: optional(length()),
  },
  ...{
    line2: optional(text({ max: 40 })),
    start2: optional(level()),
    end2: optional(level()),
    hours2: optional(length()),
  },
  ...{
    line3: optional(text({ max: 40 })),
    start3: optional(level()),
    end3: optional(level()),
    hours3: optional(length()),
  },
  remark: optional(text({ max: 200 })),
})

/** Night tests of the tanks, and the search for the line that leaks. */
export function addNightTestRoutes(app: FastifyInstance, parts: Parts): void {
  const { db } = parts
  app.get('/night-tests', { preHandler: may('abstractions.see') }, async (request, reply) => {
    return page(request, reply, 'abstractions/night-tests', {
      title: 'abstractions.night.title',
      tests: await nightTests(db),
      tanks: await listTanks(db),
    })
  })

  addRegister(app, parts, {
    ...{ path: '/night-tests', kind: 'night-test', title: 'abstractions.night.new', permission: 'abstraction.log' },
    ...{ onField: 'onDate', back: '/night-tests', intro: ['abstractions.night.how'] },
    form: () => NightTestForm,
    kept: {
      tables: ['night_test', 'night_reading'],
      typed: ({ night_test: [test] = [], night_reading = [] }) => ({
        ...{ tankId: test!.tank_id, onDate: test!.on_date, remark: test!.remark ?? '' },
        ...Object.assign({}, ...night_reading.map(typedLine)),
      }),
    },
    facts: async ({ tankId, onDate, remark, startLevel, endLevel, hours, ...lines }) => {
      if (!(await listTanks(db)).some((tank) => tank.id === tankId)) return trouble('tankId', 'error.choose')
      const first = readingOf({ field: 'hours', line: null, start: startLevel, end: endLevel, hours })
      if ('trouble' in first) return first
      const rows = [first]
      for (const at of LINES) {
        const line = lines[`line${at}`]
        if (line === null) continue
        const [start, end, ran] = [lines[`start${at}`], lines[`end${at}`], lines[`hours${at}`]]
        if (start === null || end === null || ran === null) return trouble(`line${at}`, 'abstractions.night.whole-line')
        const row = readingOf({ field: `hours${at}`, line, start, end, hours: ran })
        if ('trouble' in row) return row
        rows.push(row)
      }
      const night_reading = rows.map((row, place) => ({ ...row, place }))
      return { night_test: [{ tank_id: tankId, on_date: onDate, remark }], night_reading }
    },
  })
}

/** The first reading is with every valve shut; the lines come after it. */
function typedLine({ place, line, start_level_m, end_level_m, hours }: AbstractionsTables['night_reading']): Typed {
  const [start, end] = [inCm(start_level_m), inCm(end_level_m)]
  if (place === 0) return { startLevel: start, endLevel: end, hours: hoursTyped(hours) }
  const at = (name: string) => `${name}${place}`
  return { [at('line')]: line ?? '', [at('start')]: start, [at('end')]: end, [at('hours')]: hoursTyped(hours) }
}

interface TypedReading {
  field: string
  line: string | null
  start: number
  end: number
  hours: string
}

function readingOf({ field, line, start, end, hours }: TypedReading) {
  try {
    const read = parseHours(hours).hours
    if (read === 0) return trouble(field, 'error.missing')
    return { line, start_level_m: start / 100, end_level_m: end / 100, hours: read }
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return trouble(field, `error.${error.code}`, error.values) satisfies Trouble
  }
}
