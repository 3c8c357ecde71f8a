import { addDays } from '../../../domain/calendar.ts'
import type { Pen } from '../../../server/book/entries.ts'
import { addCropPlan } from '../../../server/crops/plan/store.ts'
import { addPlot } from '../../../server/people/plot/store.ts'
import { addLevelReading } from '../../../server/water/level/store.ts'
import { addWeir } from '../../../server/water/sand/description-store.ts'
import { setWaterSetting, setWaterUsers } from '../../../server/water/users/store.ts'
import { addWeatherDay } from '../../../server/water/weather/store.ts'
import { addFlowTest, addOutlet, addPump } from '../../../server/works/pump/store.ts'
import { startedBook, type TestBook } from '../../support/book.ts'
import type { Seen, Visitor } from '../../support/visitor.ts'

export const TODAY = '2026-06-11'
export const WEEK = '2026-06-15'

export interface RulesBook extends TestBook {
  ada: Visitor
  weirId: string
  /** Plot and crop plan ids by plot number. */
  plots: Record<number, { id: string; planId: string }>
}

/** 600, 300 and 100 m2 at one outlet; the third is the school's. */
const PLOTS = [
  { number: 1, name: 'long strip', areaM2: 600 },
  { number: 2, name: 'corner', areaM2: 300 },
  { number: 3, name: 'school', areaM2: 100 },
]

/** A group that lacks nothing but a sharing rule: a weir whose path bears about 0.7 of the need, a pump, three plots of tomato and the weather. */
export async function rulesBook(
  group: Parameters<typeof startedBook>[1] = {},
  { depthCm } = { depthCm: 93 },
): Promise<RulesBook> {
  const book = await startedBook(`${TODAY}T05:00:00Z`, group)
  const ada = await book.db.selectFrom('person').select('entryId').executeTakeFirstOrThrow()
  const writtenAt = `${TODAY}T05:00:00.000Z`
  return book.db.transaction().execute(async (trx) => {
    const pen = (): Pen => ({ trx, writtenBy: ada.entryId, writtenAt })
    const weirId = await writeWeir(pen, ada.entryId, { number: 1, name: 'Fig', distanceM: 0, depthCm })
    const outletId = await writePump(pen, weirId)
    const plots: RulesBook['plots'] = {}
    for (const plot of PLOTS) {
      const id = await addPlot(pen(), {
        ...plot,
        soil: 'sandy_loam',
        method: 'drip',
        shares: 1,
        outletIds: [outletId],
        holderIds: [ada.entryId],
        fromOn: '2026-05-01',
      })
      const crop = { plotId: id, cropKey: 'tomato', areaM2: plot.areaM2, sownOn: '2026-05-01' }
      plots[plot.number] = { id, planId: await addCropPlan(pen(), crop) }
    }
    for (let on = '2026-04-25'; on < TODAY; on = addDays(on, 1)) {
      await addWeatherDay(pen(), { onDate: on, tmaxC: 31, tminC: 18, rainMm: 0 })
    }
    return { ...book, weirId, plots }
  })
}

export async function writeWeir(
  pen: () => Pen,
  readerId: string,
  { number, name, distanceM, depthCm }: { number: number; name: string; distanceM: number; depthCm: number },
): Promise<string> {
  const fromOn = '2026-05-01'
  await setWaterSetting(pen(), { fromOn, lateRainOn: '2026-11-15', wetRainMm: 10 })
  const weirId = await addWeir(pen(), {
    number,
    name,
    distanceM,
    crestLevelM: 100,
    crestHeightM: 2,
    crestWidthM: 20,
    bedSlope: 0.01,
    fromOn,
    valleyShape: 'rectangle',
    sandType: 'coarse-sand',
    offTakeAboveBedM: 0.4,
    markAboveCrestM: 0.5,
    lossCmPerDay: null,
  })
  const users = [{ kind: 'person', heads: 20, litresPerHeadDay: 20 }]
  await setWaterUsers(pen(), { weirId, fromOn, users: users as never })
  await addLevelReading(pen(), {
    weirId,
    readOn: TODAY,
    readAt: '06:00',
    happenedAt: `${TODAY}T03:00:00.000Z`,
    depthCm,
    readerId,
    pumpOffSinceAt: '2026-06-10T14:00:00.000Z',
    pumpRunning: false,
    flowSeen: false,
    remark: null,
  })
  return weirId
}

/** A pump and the one outlet on its line; both bear the same number. */
export async function writePump(pen: () => Pen, weirId: string, number = 1): Promise<string> {
  const pumpId = await addPump(pen(), {
    number,
    name: `pump ${number}`,
    weirId,
    usualFlowM3PerH: 6,
    firstHour: 7,
    lastHour: 17,
    sunThresholdWPerM2: 220,
    meterDigits: 5,
    outletsAtOnce: 1,
    usualDayM3: null,
    fromOn: '2026-05-01',
  })
  const outletId = await addOutlet(pen(), { number, name: `line ${number}`, pumpId })
  await addFlowTest(pen(), { outletId, testedOn: '2026-05-01', flowM3PerH: 5 })
  return outletId
}

/** The cells of the last row, of a fold or of the page, whose heading begins with the given words; the turns stand above the shares. */
export function cells(page: Seen, head: string, fold = 'main'): string[] {
  const rows = page.html.querySelectorAll(`${fold} tr`)
  const row = rows.filter((one) => one.querySelector('th')?.text.replace(/\s+/g, ' ').trim().startsWith(head)).at(-1)
  if (!row) throw new Error(`no row '${head}' on ${page.path}: ${page.words}`)
  return row.querySelectorAll('td').map((cell) => cell.text.replace(/\s+/g, ' ').trim())
}
