import { group } from 'd3-array'
import { sql } from 'kysely'
import { factTables } from '../../book/merge/whole-entry.ts'
import type { Database } from '../../database/connection.ts'
import { inCode, inFile } from '../../database/names.ts'
import type { FactTables } from '../../database/schema.ts'
import { tablesOf } from '../../database/tables-of.ts'
import type { Cell } from '../../web/figures/csv.ts'

/** Registers of water, crops, turns and works: open to every officer. */
const OPEN =
  `groupSetting marketWeek groupCalendar monthName groupLanguage groupMeasure countedIn typedVolume personRole meetingNamed personMark pictureRuling sharedDeviceEnd weir weirSurvey probedSurvey probedPoint sandLayer levelVolumeTable levelVolumeRow
  sandLoss chamber refillTest refillReading levelReading waterUser waterSetting drinkingCaution coverTerm outlookSetting droughtStage
  droughtCap droughtDeclaration droughtLift streamShare streamRestDay streamRestWeir restSetAside shutMark streamGauging gaugingTime gaugingPoint
  inspection rainRecord rainRecordYear weatherDay airReading demandRule saltWashing mostTurns planCover plotMulch cropPlan pump pumpDetail outlet outletFlowTest plot plotDetail plotOutlet unmeasured
  plotHolder receivedBefore sharingRule ruleMix ruleClass ruleProtected plotHousehold planClass weekRule waterRequest
  noTurnDay publishedWeek turn pumpMount weekSky pumpDaySky noTurnHours noTurnCustom linePosition turnLength outletFilling outletPair
  turnChange dayGiven shortDayRule abstraction drawNote drawEvent drawTool bucketTiming flowTestNote flagSettled pumpDayReading tank
  tankReading slipBook fault faultFix pumpService nightTest nightReading faultPlace pumpMeter meterNightTest meterNightReading
  weekSeal officeTerm plotSplit holderPart holderMark askedThrough plotOwner arrearsRule conductRule applicant applicantEnd quorumRule restsOn clashSettled clockMark clockTold tankDay drawSlip tankOutlet tankUse approval nameNeeded
  cropEnd cropTranche ownCrop monthTable monthEvaporation rainRule rainGauge gaugeRain plotGauge plotState coefficientRule taping secondLook
  dayChange resharedTurn resharedDrawn movedUpTurn swappedTurn turnSwap swapConsent booking daySheet urgentQuota turnList turnListPlace
  turnListServed turnListPause turnStart weekChosen standingRequest bookJoined broughtRuling
  ownWords personLanguage`.split(/\s+/)
/** Nobody carries away what guards the doors; and no list holds sounds, which go along with the file of the book. */
const NEVER = ['credential', 'sharedDevice', 'voiceClip']

export interface ListedTable {
  table: keyof FactTables
  /** As it stands in the file, and in the address of its list. */
  name: string
  /** False for whatever may show who owes what, or where a person lives; a new table counts as such until it is listed. */
  open: boolean
}

/** Every register of the book, read from the file itself so that none can be forgotten. */
export async function registers(db: Database): Promise<ListedTable[]> {
  const tables = (await factTables(db)).filter((table) => !NEVER.includes(table))
  return tables
    .map((table) => ({ table, name: inFile(table), open: OPEN.includes(table) }))
    .toSorted((a, b) => a.table.localeCompare(b.table))
}

const HEAD = ['seq', 'kind', 'happenedAt', 'writtenAt', 'correctsId', 'reason', 'paperPage', 'paperRow'] as const

interface RegisterRows {
  /** The register's own columns, as the code writes them. */
  own: string[]
  /** Those of the entry, which come after them. */
  ofEntry: readonly string[]
  rows: Cell[][]
}

/** All rows of one register with the heads of their entries, corrected ones too, in the order of writing. */
export async function registerRows(db: Database, table: keyof FactTables): Promise<RegisterRows> {
  const own = await columnsOf(db, table)
  const facts = (await db.selectFrom(table).selectAll().execute()) as unknown as Record<string, Cell>[]
  const entries = await db
    .selectFrom('entry')
    .innerJoin('person as writer', 'writer.entryId', 'entry.writtenBy')
    .select([...HEAD.map((column) => `entry.${column}` as const), 'entry.id', 'writer.name as writer'])
    .where(sql<boolean>`entry.id in (select entry_id from ${sql.table(inFile(table))})`)
    .orderBy('entry.seq')
    .execute()
  const factsOf = group(facts, (row) => String(row.entryId))
  return {
    own,
    ofEntry: [...HEAD, 'writer'],
    rows: entries.flatMap((entry) => {
      const head = [...HEAD.map((column) => entry[column]), entry.writer]
      return (factsOf.get(entry.id) ?? []).map((row) => [...own.map((column) => row[column] ?? null), ...head])
    }),
  }
}

/** In the order of the file. */
async function columnsOf(db: Database, table: keyof FactTables): Promise<string[]> {
  const own = (await tablesOf(db)).find(({ name }) => name === inFile(table))
  return (own?.columns ?? []).map(({ name }) => inCode(name))
}
