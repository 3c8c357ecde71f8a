import type { Instant } from '../../../domain/calendar.ts'
import type { ClashEntry } from '../../book/merge/clash-store.ts'
import { CLASH_RULES } from '../../book/rules/clash-rules.ts'
import type { FactTables } from '../../database/schema.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { findAbstraction } from '../draw/store.ts'
import { payersWords, rowWords } from './row-state.ts'

export interface ToldEntry {
  words: string
  /** Its own page, from which it can be corrected; null where it has none. */
  href: string | null
  isDraw: boolean
  slipNo: number | null
  writerName: string
  writtenAt: Instant
}

type Row = Record<string, unknown>

/** Where an entry has a page of its own, by what it is about; a tank has none. */
const PAGES: Partial<Record<keyof FactTables, string>> = {
  person: '/people',
  pump: '/works/pumps',
  outlet: '/works/outlets',
  plot: '/people/plots',
  weir: '/water/weirs',
  pumpDayReading: '/log/lines/meter',
  tankReading: '/log/lines/tank',
  levelReading: '/water/lines/level',
  voucher: '/money/names/voucher',
}
/** Things that are told by their number and name. */
const NAMED: ReadonlySet<keyof FactTables> = new Set(['person', 'pump', 'outlet', 'plot', 'weir', 'tank'])

/** One of two entries that clash, in a line. */
export async function tellEntry(desk: Desk, one: ClashEntry): Promise<ToldEntry> {
  const { entry, facts, writerName } = one
  const slip = facts.find(([table]) => table === 'drawNote')?.[1].slipNo
  const [table, row] = facts.find(([name]) => typeof CLASH_RULES[name] !== 'string') ?? facts[0] ?? [null, {}]
  const isDraw = facts.some(([name]) => name === 'abstraction')
  return {
    words: isDraw ? await drawWords(desk, entry.id) : await wordsOf(desk, { table, row, on: entry.happenedAt }),
    href: isDraw ? `/log/lines/drawn/${entry.id}` : pageOf(table, entry.id),
    isDraw,
    slipNo: typeof slip === 'number' ? slip : null,
    writerName,
    writtenAt: entry.writtenAt,
  }
}

function pageOf(table: keyof FactTables | null, id: string): string | null {
  if (table === 'weatherDay') return '/crops/weather'
  const room = table && PAGES[table]
  return room ? `${room}/${id}` : null
}

async function drawWords({ db, t, format }: Desk, id: string): Promise<string> {
  const draw = (await findAbstraction(db, id))!
  const times = [draw.startTime, draw.endTime].filter(Boolean).join('–')
  const place =
    draw.outletNumber !== null
      ? t('abstractions.outlet-line', { number: draw.outletNumber, pump: draw.pumpNumber ?? '' })
      : draw.pumpNumber !== null
        ? t('abstractions.pump-line', { number: draw.pumpNumber })
        : t('abstractions.weir-line', { name: draw.weirName })
  const meter =
    draw.openingM3 === null || draw.closingM3 === null
      ? []
      : [
          t('works.told-meter', {
            from: format.toLitre(draw.openingM3),
            to: format.toLitre(draw.closingM3),
          }),
        ]
  const plot = draw.plotNumber === null ? [] : [t('abstractions.plot-line', { number: draw.plotNumber })]
  const when = [format.date(draw.onDate), times].filter(Boolean).join(' ')
  return [when, place, ...plot, t('works.told-volume', { volume: format.toLitre(draw.volumeM3) }), ...meter].join(', ')
}

async function wordsOf(
  desk: Desk,
  { table, row, on }: { table: keyof FactTables | null; row: Row; on: string },
): Promise<string> {
  const { t, format } = desk
  const day = typeof row.onDate === 'string' ? format.date(row.onDate) : format.instant(on)
  if (table && NAMED.has(table)) {
    return t('works.told-named', { number: String(row.number), name: String(row.name) })
  }
  switch (table) {
    case 'pumpDayReading':
      return t('works.told-reading', {
        day,
        moment: String(row.moment),
        reading: format.toLitre(Number(row.meterM3)),
      })
    case 'tankReading':
      return t('works.told-tank', {
        day,
        moment: String(row.moment),
        level: format.one(Number(row.levelM) * 100),
      })
    case 'levelReading':
      return t('works.told-level', { day, depth: format.one(Number(row.depthCm)) })
    case 'weatherDay':
      return t('works.told-weather', { day, rain: row.rainMm == null ? '–' : format.one(Number(row.rainMm)) })
    case 'transfer': {
      const receipt = row.receiptNumber == null ? '–' : `${String(row.receiptBook)} ${String(row.receiptNumber)}`
      const what = [moneyWords(desk).money(Number(row.amountMinor)), ...(await payersWords(desk, row)), row.words]
      return `${t('works.told-transfer', { day, receipt })}: ${what.filter(Boolean).join(', ')}`
    }
    default:
      return table ? rowWords(desk, { table, row, on }) : t('works.told-struck', { day })
  }
}
