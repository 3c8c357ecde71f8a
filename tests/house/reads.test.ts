import { globSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { projectFolder } from '../../server/project-folder.ts'

/**
 * Questions to the append-only tables that do not ask what stands, each for its reason; `file: table`, as often as it is read so. A row that was put right is counted
 * twice by whoever forgets it.
 */
const NOT_ASKED: Record<string, string> = {
  'every row hangs on a line that was read as it stands, and is found by the id of that line': `
    abstractions/night-test/store: nightReading meterNightReading; fees/missed-turn/store: missedAppeal turn; fees/money-statement/store: moneyStatementLine;
    fees/tariff/store: tariffPart; fees/ledger/cause-store: transferCause; fees/statement/parts: fixedFee; fees/fixed-fee/payer-class-store: turn;
    fees/charge/missed-turns: turn missedTurn missedTurn turnOutcome; people/plot/store: plotOutlet unmeasured; people/warning/rule-store: ladderStep; rotation/basis/written-store: plotOutlet;
    rotation/rule/store: ruleClass ruleProtected ruleMix; rotation/swap/store: turn; rotation/outcome/season: booking turnOutcome; rotation/published/store: turn;
    water/drought/store: droughtStage droughtCap; water/outlook/store: rainRecordYear; water/chamber/store: refillReading; water/sand/description-store: unmeasured;
    water/sand/survey-store: probedPoint sandLayer; water/sand/table-store: levelVolumeRow; crops/setting/store: monthEvaporation; water/stream/store: gaugingTime gaugingPoint; home/waiting: weir;
    abstractions/paper/known-store: drawNote drawSlip; fees/charge/plot-store: abstraction missedTurn`,
  'the whole history is told, with what took its place': `
    abstractions/closing/correction-store: logClosing; abstractions/closing/store: logClosing; people/device/store: sharedDevice; people/household/store: livesTogether;
    people/warning/rule-store: conductRule; rotation/published/amendment-store: turnChange; rotation/published/store: publishedWeek; rotation/published/taken-back-store: publishedWeek sheetOpened;
    rotation/outcome/store: turnOutcome; rotation/basis/counted-store: turnOutcome; water/sand/table-store: levelVolumeTable; water/weather/store: weatherDay;
    fees/missed-turn/store: missedHearing; abstractions/plausibility/clock-jumps: abstraction; abstractions/merged/subject-store: abstraction; book/check/seal: weekSeal; book/merge/joiners-store: broughtRuling;
    fees/reconcile/one-name-store: broughtRuling; water/stream/store: streamShare; book/merge/reached: bookJoined; abstractions/merged/joinings-store: broughtRuling`,
  'whoever asks says which of them count': `
    abstractions/draw/rows: abstraction; rotation/swap/consent-store: swapConsent; water/drought/store: droughtDeclaration droughtLift; water/level/store: levelReading;
    rotation/published/chosen-store: publishedWeek`,
  'what was posted in money stays posted, and its reversal is posted beside it': `
    fees/fixed-fee/store: fixedFee fixedFee; fees/ledger/charged-store: missedTurn`,
  'every table of the file in its turn, with all that was ever written': `
    book/merge/whole-entry: table; book/verify: table; database/migrate: DEFAULT_MIGRATION_TABLE; paper/whole-book/lists-store: table;
    paper/whole-book/print-routes: table`,
  'only whether there is any, from when on, or the last number, so that none is given twice': `
    book/names/first-days: publishedWeek; water/level/writers-store: publishedWeek; fees/payer/store: swappedTurn; fees/voucher/store: voucher; home/first-steps: sheetOpened; people/warning/state: warning; crops/need/given-store: groupSetting;
    abstractions/place/store: abstraction; book/merge/clash-store: bookJoined; water/outlook/state: levelReading; fees/pending-state: cashCount;
    rotation/published/amendment-store: turnChange; home/first-steps: table; rotation/published/taken-back-store: table table`,
}

const OTHER_TABLES =
  /^(entry|person|account|transfer|approval|withheld|nameNeeded|credential|passwordApart|session|shortCode|oneTimeCode|keptAside|doorTry|clockMark|joining|parted\w+)$/

interface Question {
  place: string
  words: string
}

/** Every question from `selectFrom` to the end of its chain, of a table that only the run names too. */
function questions(): Question[] {
  const files = globSync('server/**/*.ts').sort()
  return files.flatMap((file) => {
    const text = readFileSync(join(projectFolder(), file), 'utf8')
    return [...text.matchAll(/selectFrom\('?(\w+)/g)].map(({ index, 1: table }) => ({
      place: `${file.slice('server/'.length, -'.ts'.length)}: ${table}`,
      words: text.slice(index, chainEnd(text, index)),
    }))
  })
}

function chainEnd(text: string, from: number): number {
  let open = 0
  for (let at = from; at < text.length; at++) {
    const sign = text[at]!
    open += '([{'.includes(sign) ? 1 : ')]}'.includes(sign) ? -1 : 0
    if (open < 0 || (open === 0 && (sign === ',' || (sign === '\n' && !/^\s*\./.test(text.slice(at + 1)))))) return at
  }
  return text.length
}

it('every question to the book asks what stands, or names the line that it reads, or stands here with the reason', () => {
  const facts = questions().filter(({ place }) => !OTHER_TABLES.test(place.split(': ')[1]!))
  expect(facts.length).toBeGreaterThan(300)
  const open = facts.filter(
    ({ words }) => !/standing\(|waitsForName\(/.test(words) && !/where(Ref)?\('[\w.]*(entryId|entry\.id)'/.test(words),
  )
  const reasoned = Object.values(NOT_ASKED).flatMap((places) =>
    places.split(';').flatMap((group) => {
      const [file, tables] = group.trim().split(': ')
      return tables!.split(/\s+/).map((table) => `${file}: ${table}`)
    }),
  )
  expect(open.map(({ place }) => place).sort()).toEqual(reasoned.sort())
})
