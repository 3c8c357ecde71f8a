import { writeFileSync } from 'node:fs'
import { pathToFileURL } from 'node:url'
import loadHighs from 'highs'
import { datesFromTo } from '../../../domain/calendar.ts'
import type { TimetableAllocation, TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import { CLEAR_DAY } from './examples.ts'

/**
 * Small weeks whose greatest served volume HiGHS has proven. Run by itself (`npx tsx tests/rotation/timetable/optima.ts`) this file
 * draws the weeks, solves each as a mixed-integer programme on the same grid and under the same hard rules, and stores those
 * solved within 20 s beside it. The programme may divide the flow among open outlets as it likes, so it is never below what the rules allow.
 */
export interface ProvenWeek {
  /** Of `smallCase`. */
  number: number
  /** Shows that the week drawn again is the same week. */
  askedLitres: number
  /** The most litres that any timetable can serve, to the solver's gap. */
  optimumLitres: number
}

const SECONDS = 20
/** The solver calls a solution optimal when nothing better than this part is left. */
export const SOLVER_GAP = 5e-5
const CASES = 90

/** Draws the week of a number: 2 pumps, 3 days, about 12 turns; the first 60 on quarter hours, the others on half hours. */
export function smallCase(number: number): TimetableInput {
  const grid = number < 60 ? 15 : 30
  const draw = drawer(number + 1)
  const pick = <T>(values: T[]): T => values[Math.floor(draw() * values.length)]!
  const days = datesFromTo('2026-03-02', '2026-03-04')
  const pumps = ['north', 'south'].map((id) => {
    const size = 0.7 + draw()
    return {
      id,
      flowM3PerHByDay: Object.fromEntries(days.map((day) => [day, dayFlow(size * pick([1, 1, 0.7, 0.45]))])),
    }
  })
  const outlets = pumps.flatMap(({ id }) =>
    [1, 2, 3, 4].map((at) => ({ id: `${id}${at}`, pumpId: id, flowM3PerH: Math.round(10 + 30 * draw()) / 10 })),
  )
  const weekM3 = pumps.flatMap(({ flowM3PerHByDay }) => Object.values(flowM3PerHByDay).flat()).reduce((a, b) => a + b)
  const load = 0.5 + 0.7 * draw()
  const allocations = Array.from({ length: 10 + Math.floor(draw() * 5) }, (_, index): TimetableAllocation => {
    const canNot =
      draw() < 0.35 ? [pick([{ toHour: 10 }, { fromHour: 12, toHour: 14 }, { on: pick(days) }, { fromHour: 13 }])] : []
    const volumeM3 = Math.round(((load * weekM3) / 12) * (0.4 + 1.2 * draw()) * 1000) / 1000
    return { claimId: `c${index}`, plotId: `p${index}`, outletId: pick(outlets).id, volumeM3, canNot }
  })
  return {
    week: { startOn: days[0]!, days },
    allocations,
    pumps,
    outlets,
    unavailable: draw() < 0.4 ? [{ on: pick(days), fromHour: 12, toHour: 24, pumpId: 'north' }] : [],
    together: pick([undefined, pumps.map(({ id }) => ({ pumpId: id, atMost: 2 }))]),
    rules: {
      minTurnMinutes: pick([grid, grid * 2]),
      maxTurnMinutes: pick([undefined, 120, 180, 240]),
      changeoverMinutes: pick([0, grid]),
      gridMinutes: grid,
    },
  }
}

function dayFlow(size: number): number[] {
  return CLEAR_DAY.map((flow) => Math.round(flow * size * 1000) / 1000)
}

/** A programme in the LP format of the solver, and its greatest value in litres where that is proven in time. */
async function provenLitres(input: TimetableInput, pumpId: string): Promise<number | null> {
  const highs = await (loadHighs as unknown as typeof loadHighs.default)()
  const solution = highs.solve(programme(input, pumpId), { time_limit: SECONDS, mip_rel_gap: SOLVER_GAP, threads: 1 })
  return solution.Status === 'Optimal' ? solution.ObjectiveValue : null
}

/**
 * x_r_d_t: row r draws in slot t of day d; s_r_d_t: it starts there; v_r_d_t: the litres it draws. One start a day, the shortest
 * and longest turn, at most so many lines taken from a start to the end of the changeover, one turn at a time on an outlet.
 */
function programme(input: TimetableInput, pumpId: string): string {
  const { rules, week } = input
  const outlets = new Map(input.outlets.filter((each) => each.pumpId === pumpId).map((each) => [each.id, each]))
  const rows = input.allocations.filter(({ outletId }) => outlets.has(outletId))
  const flows = input.pumps.find(({ id }) => id === pumpId)!.flowM3PerHByDay
  const grid = rules.gridMinutes!
  const hourOf = (t: number) => Math.floor((t * grid) / 60)
  const slots = Array.from({ length: 1440 / grid }, (_, t) => t).filter((t) => CLEAR_DAY[hourOf(t)]! > 0)
  const [first, last] = [slots[0]!, slots.at(-1)!]
  const gap = rules.changeoverMinutes / grid
  const shortest = rules.minTurnMinutes / grid
  const longest = (rules.maxTurnMinutes ?? 1440) / grid
  const atMost = input.together?.find((each) => each.pumpId === pumpId)?.atMost ?? 1
  const lines: string[] = []
  const bounds: string[] = []
  const binaries: string[] = []
  const given: string[][] = rows.map(() => [])
  week.days.forEach((day, d) => {
    const litresOf = (t: number) => (flows[day]![hourOf(t)]! * 1000 * grid) / 60
    rows.forEach((row, r) => {
      for (const t of slots) {
        const [x, s, v] = [`x_${r}_${d}_${t}`, `s_${r}_${d}_${t}`, `v_${r}_${d}_${t}`]
        binaries.push(x, s)
        given[r]!.push(v)
        const most = Math.min(litresOf(t), (outlets.get(row.outletId)!.flowM3PerH * 1000 * grid) / 60)
        lines.push(`${v} - ${most} ${x} <= 0`)
        lines.push(t === first ? `${s} - ${x} = 0` : `${s} - ${x} + x_${r}_${d}_${t - 1} >= 0`, `${s} - ${x} <= 0`)
        if (t > first) lines.push(`${s} + x_${r}_${d}_${t - 1} <= 1`)
        for (let j = 1; j < shortest; j++) lines.push(t + j <= last ? `${s} - x_${r}_${d}_${t + j} <= 0` : `${s} <= 0`)
        if (isClosed(input, pumpId, row, day, (t * grid) / 60)) bounds.push(`${x} = 0`)
      }
      lines.push(`${slots.map((t) => `s_${r}_${d}_${t}`).join(' + ')} <= 1`)
      if (longest < slots.length) lines.push(`${slots.map((t) => `x_${r}_${d}_${t}`).join(' + ')} <= ${longest}`)
    })
    for (const t of slots) {
      lines.push(`${rows.map((_, r) => `v_${r}_${d}_${t}`).join(' + ')} <= ${litresOf(t)}`)
      lines.push(`${taken([...rows.keys()], d, t, gap, first)} <= ${atMost}`)
      if (atMost > 1)
        for (const id of outlets.keys()) {
          const own = rows.flatMap(({ outletId }, r) => (outletId === id ? [r] : []))
          if (own.length > 1) lines.push(`${taken(own, d, t, gap, first)} <= 1`)
        }
    }
  })
  rows.forEach(({ volumeM3 }, r) => {
    lines.push(`${given[r]!.join(' + ')} <= ${Math.round(volumeM3 * 1000)}`)
  })
  const objective = given.flat().join(' + ')
  return `Maximize\n obj: ${wrap(objective)}\nSubject To\n${lines.map((line, i) => ` c${i}: ${wrap(line)}`).join('\n')}\nBounds\n${bounds.map((b) => ` ${b}`).join('\n')}\nBinary\n ${wrap(binaries.join(' '))}\nEnd\n`
}

/** Lines taken in a slot: drawing now, or (a turn a day per row) started so that its changeover still runs. */
function taken(rows: number[], d: number, t: number, gap: number, first: number): string {
  return rows
    .map((r) => {
      if (gap === 0 || t === first) return `x_${r}_${d}_${t}`
      // With a gap of one slot, x(t) or x(t-1) is x(t-1) + s(t).
      return `x_${r}_${d}_${t - 1} + s_${r}_${d}_${t}`
    })
    .join(' + ')
}

function isClosed(input: TimetableInput, pumpId: string, row: TimetableAllocation, day: string, hour: number): boolean {
  const closures = input.unavailable.filter((each) => each.pumpId === undefined || each.pumpId === pumpId)
  return [...closures, ...(row.canNot ?? [])].some(
    ({ on, fromHour = 0, toHour = 24 }) => (on ?? day) === day && hour >= fromHour && hour < toHour,
  )
}

/** The solver's reader takes lines of at most 560 characters. */
function wrap(text: string): string {
  return text.replace(/(.{1,400})(\s|$)/g, '$1\n  ')
}

function drawer(seed: number): () => number {
  let state = Math.imul(seed, 2654435761) >>> 0
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
}

export function askedLitres({ allocations }: TimetableInput): number {
  return allocations.reduce((litres, { volumeM3 }) => litres + Math.round(volumeM3 * 1000), 0)
}

async function store(): Promise<void> {
  const proven: ProvenWeek[] = []
  for (let number = Number(process.argv[2] ?? 0); number < CASES; number++) {
    const input = smallCase(number)
    const parts: (number | null)[] = []
    for (const { id } of input.pumps) if (!parts.includes(null)) parts.push(await provenLitres(input, id))
    const optimumLitres = parts.includes(null) ? null : parts.reduce<number>((sum, litres) => sum + litres!, 0)
    console.log(number, optimumLitres)
    if (optimumLitres !== null)
      proven.push({ number, askedLitres: askedLitres(input), optimumLitres: Math.round(optimumLitres) })
    writeFileSync(new URL('./optima.json', import.meta.url), `${JSON.stringify(proven)}\n`)
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) await store()
