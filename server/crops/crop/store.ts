import type { Selectable } from 'kysely'
import type { CalendarDate } from '../../../domain/calendar.ts'
import type { StageDays } from '../../../domain/crops/crop/stages.ts'
import { CROPS, type Crop } from '../../../domain/crops/data/crops.ts'
import { appendEntry, freshId, type Pen } from '../../book/entries.ts'
import { readTogether } from '../../book/register/together.ts'
import { asWritten, inForce, standing } from '../../book/standing.ts'
import type { Database } from '../../database/connection.ts'
import type { FactTables } from '../../database/schema.ts'

/** A crop as the group describes it from a day on: one of its own, or a printed one with the group's own figures. */
interface OwnCrop {
  name: string
  kcIni: number
  kcMid: number
  kcEnd: number
  heightM: number
  stageDays: StageDays
  rootDepthM: number
  depletionFraction: number
  yieldResponse: number | null
  perennial: boolean
  /** Where the figures come from, in the group's words. */
  words: string
}

interface CropVersion extends OwnCrop {
  id: string
  cropKey: string
  fromOn: CalendarDate
}

/** The crops that can be reckoned with: the published table and the group's own. */
export interface CropBook {
  /** As described on a day. */
  on(day: string): Crop[]
  /** A crop as it was described on the day it was sown; null for one that the book does not know. */
  of(plan: { cropKey: string; sownOn: CalendarDate }): Crop | null
  versions: CropVersion[]
}

const cropRows = readTogether('crops', (db) =>
  db
    .selectFrom('ownCrop')
    .innerJoin('entry', 'entry.id', 'ownCrop.entryId')
    .selectAll('ownCrop')
    .select('entry.seq')
    .where(standing('ownCrop'))
    .orderBy('fromOn')
    .orderBy(asWritten),
)

export async function cropBook(db: Database): Promise<CropBook> {
  const rows = await cropRows(db)
  const printed = new Map(CROPS.map((crop) => [crop.key, crop]))
  const keys = [...new Set([...printed.keys(), ...rows.map((row) => row.cropKey)])]
  const cropOn = (key: string, day: string): Crop | null => {
    const own = rows.filter((row) => row.cropKey === key)
    // A crop sown before its first version was written keeps to the earliest figures there are.
    const row = inForce(own, day) ?? (printed.get(key)?.stageDays ? undefined : own[0])
    return row ? cropFrom(row, printed.get(key)) : (printed.get(key) ?? null)
  }
  return {
    on: (day) => keys.flatMap((key) => cropOn(key, day) ?? []),
    of: ({ cropKey, sownOn }) => cropOn(cropKey, sownOn),
    versions: rows.map(versionOf),
  }
}

/** Writes a version of a crop; without a key a crop of the group's own begins. */
export async function addCropVersion(
  pen: Pen,
  crop: OwnCrop & { cropKey: string | null; fromOn: CalendarDate },
): Promise<string> {
  const id = freshId(pen)
  const [ini, dev, mid, late] = crop.stageDays
  const row = {
    cropKey: crop.cropKey ?? `own-${id}`,
    fromOn: crop.fromOn,
    name: crop.name,
    kcIni: crop.kcIni,
    kcMid: crop.kcMid,
    kcEnd: crop.kcEnd,
    heightM: crop.heightM,
    iniDays: ini,
    devDays: dev,
    midDays: mid,
    lateDays: late,
    rootDepthM: crop.rootDepthM,
    depletionFraction: crop.depletionFraction,
    yieldResponse: crop.yieldResponse,
    perennial: crop.perennial ? 1 : 0,
    words: crop.words,
  }
  return appendEntry(pen, { kind: 'own-crop' }, { ownCrop: [row] }, id)
}

type Row = Selectable<FactTables['ownCrop']>

function versionOf(row: Row): CropVersion {
  return {
    id: row.entryId,
    cropKey: row.cropKey,
    fromOn: row.fromOn,
    name: row.name,
    kcIni: row.kcIni,
    kcMid: row.kcMid,
    kcEnd: row.kcEnd,
    heightM: row.heightM,
    stageDays: [row.iniDays, row.devDays, row.midDays, row.lateDays],
    rootDepthM: row.rootDepthM,
    depletionFraction: row.depletionFraction,
    yieldResponse: row.yieldResponse,
    perennial: row.perennial === 1,
    words: row.words,
  }
}

function cropFrom(row: Row, printed: Crop | undefined): Crop {
  const { name, kcIni, kcMid, kcEnd, stageDays, depletionFraction, yieldResponse, perennial, words } = versionOf(row)
  return {
    key: row.cropKey,
    name,
    group: printed?.group ?? '',
    kcIni,
    kcMid,
    kcEnd,
    heightMaxM: row.heightM,
    stageDays,
    stageRegion: '',
    plantedAround: '',
    rootDepthMinM: row.rootDepthM,
    rootDepthMaxM: row.rootDepthM,
    depletionFraction,
    yieldResponse,
    perennial,
    source: words,
    status: 'own',
    note: '',
  }
}
