import { parseHours } from '../../../domain/abstractions/draw/hours.ts'
import { InputError } from '../../../domain/input-error.ts'
import { type Trouble, trouble } from '../../book/register/register.ts'
import { date, type Field, number, seldom, select, text } from '../../web/forms/fields.ts'
import { defineForm, type Typed } from '../../web/forms/forms.ts'
import { hoursTyped } from '../../web/forms/typed.ts'

const length = () => text({ max: 12 })
const name = () => seldom(text({ max: 40 }))

/** All valves shut first; then one line at a time opened against shut outlets. */
function nightFields(reading: () => Field<number>) {
  const shown = () => seldom(reading())
  return {
    startLevel: reading(),
    endLevel: reading(),
    hours: length(),
    line1: name(),
    start1: shown(),
    end1: shown(),
    hours1: seldom(length()),
    line2: name(),
    start2: shown(),
    end2: shown(),
    hours2: seldom(length()),
    line3: name(),
    start3: shown(),
    end3: shown(),
    hours3: seldom(length()),
    remark: seldom(text({ max: 200 })),
  }
}

export const NightTestForm = defineForm('abstractions.night-test', {
  tankId: select(),
  onDate: date(),
  ...nightFields(() => number({ min: 0, max: 5000 })),
})

export const MeterNightForm = defineForm('works.meter-night', {
  pumpId: select(),
  onDate: date(),
  ...nightFields(() => number({ min: 0, max: 999_999_999 })),
})

const LINES = [1, 2, 3] as const
interface NightLine {
  line: string | null
  start: number
  end: number
  hours: number
}

type Typing = { startLevel: number; endLevel: number; hours: string } & Record<string, unknown>

/** The stretches of one night, the one with every valve shut first. */
export function nightLines({ startLevel, endLevel, hours, ...lines }: Typing): NightLine[] | Trouble {
  const first = lineOf({ field: 'hours', line: null, start: startLevel, end: endLevel, hours })
  if ('trouble' in first) return first
  const rows = [first]
  for (const at of LINES) {
    const line = lines[`line${at}`] as string | null
    if (line === null) continue
    const [start, end, ran] = [lines[`start${at}`], lines[`end${at}`], lines[`hours${at}`]]
    if (start === null || end === null || ran === null) return trouble(`line${at}`, 'abstractions.night.whole-line')
    const row = lineOf({ field: `hours${at}`, line, start: Number(start), end: Number(end), hours: String(ran) })
    if ('trouble' in row) return row
    rows.push(row)
  }
  return rows
}

function lineOf({ field, hours, ...line }: Omit<NightLine, 'hours'> & { field: string; hours: string }) {
  try {
    const read = parseHours(hours).hours
    return read === 0 ? trouble(field, 'error.missing') : { ...line, hours: read }
  } catch (error) {
    if (!(error instanceof InputError)) throw error
    return trouble(field, `error.${error.code}`, error.values)
  }
}

/** A stretch as it was typed; `place` 0 is the one with every valve shut. */
export function typedLine(
  { place, line, hours }: { place: number; line: string | null; hours: number },
  [start, end]: readonly [string, string],
): Typed {
  if (place === 0) return { startLevel: start, endLevel: end, hours: hoursTyped(hours) }
  const at = (field: string) => `${field}${place}`
  return { [at('line')]: line ?? '', [at('start')]: start, [at('end')]: end, [at('hours')]: hoursTyped(hours) }
}
