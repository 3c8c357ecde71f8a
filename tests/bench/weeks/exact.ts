import type { TimetableInput } from '../../../domain/rotation/timetable/types.ts'
import type { Solver } from '../../rotation/allocation/by-programmes.ts'
import { SLOT_MINUTES } from './wished-week.ts'

/** One way to lay one turn: from a slot of a day, so many slots long, with what it brings at most. */
interface Choice {
  row: number
  day: string
  slot: number
  slots: number
  litres: number
  isWished: boolean
}

export interface ExactWeek {
  servedLitres: number
  wishesMet: number
  turns: { litres: number; minutes: number }[]
}

const SECONDS = 60

/**
 * The best week by a mixed-integer programme over every way to lay a turn, one outlet open at a time: first the most water, then
 * with all of it the most wishes, then with both the fewest turns. Null where the solver does not prove it in time. It knows
 * nothing of the code under test.
 */
export function exactWeek(highs: Solver, input: TimetableInput): ExactWeek | null {
  const choices = choicesOf(input)
  const rows = input.allocations.map((_, row) => row)
  const z = (at: number) => `z${at}`
  const served = rows.map((row) => `v${row}`).join(' + ')
  const met = rows.map((row) => `m${row}`).join(' + ')
  const used = choices.map((_, at) => z(at)).join(' + ')
  const solve = (sense: string, objective: string, more: string[]) => {
    const lines = [...rulesOf(input, choices), ...more].map((line, at) => ` c${at}: ${wrap(line)}`)
    const bounds = rows.map((row) => ` v${row} <= ${Math.round(input.allocations[row]!.volumeM3 * 1000)}`)
    const binaries = [...choices.map((_, at) => z(at)), ...rows.map((row) => `m${row}`)].join(' ')
    const text = `${sense}\n obj: ${wrap(objective)}\nSubject To\n${lines.join('\n')}\nBounds\n${bounds.join('\n')}\nBinary\n ${wrap(binaries)}\nEnd\n`
    const found = highs.solve(text, { time_limit: SECONDS, threads: 1, mip_rel_gap: 1e-6 })
    return found.Status === 'Optimal' ? found : null
  }
  const most = solve('Maximize', served, [])
  if (!most) return null
  const all = `${served} >= ${Math.floor(most.ObjectiveValue - 0.5)}`
  const wishes = solve('Maximize', met, [all])
  if (!wishes) return null
  const fewest = solve('Minimize', used, [all, `${met} >= ${Math.round(wishes.ObjectiveValue)}`])
  if (!fewest) return null
  const turns = choices.filter((_, at) => fewest.Columns[z(at)]!.Primal > 0.5)
  return {
    servedLitres: Math.round(most.ObjectiveValue),
    wishesMet: Math.round(wishes.ObjectiveValue),
    turns: turns.map(({ litres, slots }) => ({ litres, minutes: slots * SLOT_MINUTES })),
  }
}

/** Every stretch of every day for every row, as long as it still brings more. */
function choicesOf({ allocations, outlets, pumps, week }: TimetableInput): Choice[] {
  return allocations.flatMap(({ outletId, volumeM3, wished = [] }, row) =>
    week.days.flatMap((day) => {
      const outlet = outlets.find(({ id }) => id === outletId)!
      const flow = pumps[0]!.flowM3PerHByDay[day]!
      const litresOf = (slot: number) =>
        (Math.min(outlet.flowM3PerH, flow[Math.floor((slot * SLOT_MINUTES) / 60)]!) * 1000 * SLOT_MINUTES) / 60
      const open = Array.from({ length: (24 * 60) / SLOT_MINUTES }, (_, slot) => slot).filter(
        (slot) => litresOf(slot) > 0,
      )
      return open.flatMap((slot): Choice[] => {
        const own: Choice[] = []
        let brought = 0
        for (let end = slot; open.includes(end) && brought < volumeM3 * 1000; end++) {
          brought += litresOf(end)
          const [fromHour, toHour] = [(slot * SLOT_MINUTES) / 60, ((end + 1) * SLOT_MINUTES) / 60]
          const isWished = wished.some(
            (wish) => wish.on === day && fromHour >= wish.fromHour! && toHour <= wish.toHour!,
          )
          own.push({ row, day, slot, slots: end + 1 - slot, litres: Math.min(brought, volumeM3 * 1000), isWished })
        }
        return own
      })
    }),
  )
}

/** One outlet at a time, one turn of a row a day; served at most what its turns bring; a wish met by a turn in its hours. */
function rulesOf({ allocations, week }: TimetableInput, choices: readonly Choice[]): string[] {
  const sumOf = (isIn: (choice: Choice) => boolean) =>
    choices.flatMap((choice, at) => (isIn(choice) ? [`z${at}`] : [])).join(' + ')
  const slots = [...new Set(choices.map(({ slot }) => slot))]
  const atOnce = week.days.flatMap((day) =>
    slots.map((slot) => sumOf((one) => one.day === day && one.slot <= slot && slot < one.slot + one.slots)),
  )
  const aDay = week.days.flatMap((day) =>
    allocations.map((_, row) => sumOf((one) => one.day === day && one.row === row)),
  )
  const served = allocations.map((_, row) => {
    const brought = choices.flatMap(({ row: own, litres }, at) => (own === row ? [`- ${litres} z${at}`] : []))
    return `v${row} ${brought.join(' ')} <= 0`
  })
  const met = allocations.map((_, row) => {
    const wished = choices.flatMap(({ row: own, isWished }, at) => (own === row && isWished ? [`- z${at}`] : []))
    return `m${row} ${wished.join(' ')} <= 0`
  })
  return [...[...atOnce, ...aDay].filter((line) => line !== '').map((line) => `${line} <= 1`), ...served, ...met]
}

/** The solver's reader takes lines of at most 560 characters. */
function wrap(text: string): string {
  return text.replace(/(.{1,400})(\s|$)/g, '$1\n  ')
}
