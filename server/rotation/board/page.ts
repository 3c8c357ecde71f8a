import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { LITRES_PER_M3 } from '../../../domain/units.ts'
import { namedParts } from '../../web/figures/sheets.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Pump } from '../../works/pump/store.ts'
import { lateClosures } from '../draft/closures.ts'
import { changesShown } from '../week/change-lines.ts'
import type { ListedTurn, WeekFound } from '../week/pages.ts'
import { onTheSheet, unplacedLines } from '../week/pages.ts'
import { type ShownWeek, turnsByDay } from '../week/view.ts'
import { droughtCaps, weekValues } from '../week/words.ts'
import type { BlockWords } from './block.ts'
import { type BoardSheet, boardSheets } from './sheets.ts'

type Day = ReturnType<typeof turnsByDay>[number]
type Turn = Day['turns'][number]

/** More wheels than these find no room in a block; the ones at the left hardly turn. */
const MOST_WHEELS = 5

/**
 * The sheets that hang at the pumps. Only turns that stand are drawn: one that was changed is told in words below, and no name
 * stands beside a missed one. Nothing of money is on them.
 */
export function boardPage(
  desk: Desk,
  found: WeekFound & { week: ShownWeek },
  { pumps, reader }: { pumps: readonly Pump[]; reader: Desk },
) {
  const { week, weekStartOn, lateFaults, turns, publishedTwice } = found
  const { inputs } = week
  const standing = onTheSheet(turns)
  const days = turnsByDay(week, standing, lateClosures(lateFaults))
  const sheets = boardSheets(days, {
    inputs,
    words: desk,
    closedWords: (day, pumpId) => closedWords(desk, day, pumpId),
    blockOf: (turn) => blockOf(desk, turn, { inputs, pumps }),
  })
  const { shown, parts } = namedParts(reader, numbered(sheets), {
    rowsOf: ({ blocks }) => blocks.length,
    nameOf: (sheet) => nameOf(reader, sheet),
    whole: reader.t('layout.sheet-all'),
  })
  const values = weekValues(desk, weekStartOn)
  const changes = changesShown(desk, week, standing)
  return {
    title: 'rotation.sheet-title',
    titleValues: values,
    span: desk.format.dates(inputs.days),
    week,
    sheets: shown.map((sheet) => ({ ...sheet, title: nameOf(desk, sheet), ...drinkingBand(desk, week, sheet) })),
    sheetsInAll: sheets.length,
    parts,
    changes,
    caps: droughtCaps(inputs.drought),
    lateFaults,
    hasSmallTurns: hasSmallTurns(week),
    publishedTwice,
    unplaced: unplacedLines(week),
    still: stillInWeek(days),
  }
}

/** Each with its place among all that hang, also where some of them come at a time. */
function numbered(sheets: readonly BoardSheet[]): (BoardSheet & { at: number })[] {
  return sheets.map((sheet, at) => ({ ...sheet, at: at + 1 }))
}

function nameOf({ t }: Desk, { pumpNumber, tankNumber }: BoardSheet): string {
  return tankNumber === null ? t('board.pump', { number: pumpNumber ?? '' }) : t('board.tank', { number: tankNumber })
}

/** What stands still in the week, each once: a pump without a single turn has no sheet of its own to say so. */
function stillInWeek(days: readonly Day[]): Day['closed'] {
  const faultsAndPauses = days.flatMap(({ closed }) => closed).filter(({ fault, pause }) => fault || pause)
  const named = faultsAndPauses.map((one) => [[one.pumpId, one.outletId, one.words].join(' '), one] as const)
  return [...new Map(named).values()]
}

/** What people and animals at the pump's weir drink comes before any turn. */
function drinkingBand({ format: f }: Desk, { inputs, results }: ShownWeek, { weirId }: BoardSheet) {
  const weir = inputs.weirs.find(({ id }) => id === weirId)
  const drink = results.drinking.find((one) => one.weirId === weirId)
  if (!weir || !drink) return { weir: weir ?? null, drinking: null }
  const cans = f.jerrycans(drink.allocatedM3)
  const daily = f.whole(Math.floor((drink.allocatedM3 * LITRES_PER_M3) / f.canLitres / inputs.days.length))
  return { weir, drinking: { volume: f.volume(drink.allocatedM3), cans, daily, days: inputs.days.length } }
}

function blockOf(
  { locale: { t }, format: f }: Desk,
  turn: Turn,
  { inputs, pumps }: { inputs: WeekInputs; pumps: readonly Pump[] },
): BlockWords {
  const tank = turn.outlet?.tank
  const { place } = turn
  const booked = turn as Partial<ListedTurn>
  return {
    clock: `${f.clock(turn.startMinute)}–${f.clock(turn.endMinute)}`,
    outlet: t('board.outlet', { number: turn.outlet?.number ?? '' }),
    plot: String(turn.plot?.number ?? ''),
    plotId: turn.plotId,
    names: turn.plot?.holders.join(', ') ?? '',
    volume: `${f.tenth(turn.volumeM3)} ${t('layout.unit-m3')}`,
    cans: t('board.cans', { cans: f.jerrycans(turn.volumeM3) }),
    stop: tank ? t('board.stop-at-mark', { number: tank.number }) : t('board.stop-at'),
    notes: [
      ...(booked.inDoubt ? [`▲ ${t('board.in-doubt')}`] : []),
      ...(turn.amendment ? [t('week.brought-in-mark')] : []),
      ...(place ? [t('week.turn-of', place)] : []),
      ...(tank ? [t('tank-turn.mark', { number: tank.number })] : []),
    ],
    isOfficers: inputs.turnFacts?.officerPlotIds.includes(turn.plotId) ?? false,
    wheels: tank ? 0 : Math.min(MOST_WHEELS, pumps.find(({ id }) => id === turn.pumpId)?.meterDigits ?? MOST_WHEELS),
  }
}

/** Why a pump has no turn on a day, as short as a narrow column asks. */
function closedWords({ t }: Desk, day: Day, pumpId: string): string {
  const closure = day.closed.find((one) => one.pumpId === null || (one.pumpId === pumpId && !one.outletId))
  if (!closure) return ''
  if (closure.fault) return t('board.stands-still', { words: closure.words })
  if (closure.pause) return t(`day.pause.cause.${closure.pause}`)
  const rest = closure.isRestOfStream ? t('board.rest') : ''
  return [rest, closure.words].filter(Boolean).join(': ')
}

/** Whether a plot has several turns because its roots cannot hold the week's water at once. */
function hasSmallTurns({ inputs, results }: ShownWeek): boolean {
  const asking = inputs.claims.filter((claim) => (claim.turns?.count ?? 1) > 1)
  return asking.some(({ plotId }) => results.turns.filter((turn) => turn.plotId === plotId).length > 1)
}
