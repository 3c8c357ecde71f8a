import type { Migration } from 'kysely/migration'
import * as entries from './0001-entries.ts'
import * as people from './0002-people.ts'
import * as water from './0003-water.ts'
import * as crops from './0004-crops.ts'
import * as rotation from './0005-rotation.ts'
import * as abstractions from './0006-abstractions.ts'
import * as fees from './0007-fees.ts'
import * as sand from './0008-sand.ts'
import * as watch from './0009-watch.ts'
import * as planting from './0010-planting.ts'
import * as rules from './0011-rules.ts'
import * as turns from './0012-turns.ts'
import * as treasury from './0013-treasury.ts'
import * as log from './0014-log.ts'
import * as day from './0015-day.ts'
import * as dayAfter from './0016-day-after.ts'
import * as paper from './0017-paper.ts'
import * as works from './0018-works.ts'
import * as missedTurns from './0019-missed-turns.ts'
import * as reserve from './0020-reserve.ts'
import * as tankTurns from './0021-tank-turns.ts'
import * as twoBooks from './0022-two-books.ts'
import * as sharedDevice from './0023-shared-device.ts'
import * as turnLengths from './0024-turn-lengths.ts'
import * as drinkingCaution from './0025-drinking-caution.ts'
import * as mostTurns from './0026-most-turns.ts'
import * as airReadings from './0027-air-readings.ts'
import * as planCover from './0028-plan-cover.ts'
import * as cloudyDay from './0029-cloudy-day.ts'
import * as plotMulch from './0030-plot-mulch.ts'
import * as hashVersion from './0031-hash-version.ts'
import * as pumpRunning from './0032-pump-running.ts'
import * as joining from './0033-joining.ts'
import * as lookups from './0034-lookups.ts'
import * as names from './0035-names.ts'
import * as countDecisions from './0036-count-decisions.ts'
import * as consentGiven from './0037-consent-given.ts'
import * as excuse from './0038-excuse.ts'
import * as restWeirs from './0039-rest-weirs.ts'
import * as saltWashing from './0040-salt-washing.ts'
import * as missedHearing from './0041-missed-hearing.ts'
import * as otherIncome from './0042-other-income.ts'
import * as startUnread from './0043-start-unread.ts'
import * as clock from './0044-clock.ts'
import * as marks from './0045-marks.ts'
import * as fineAppeal from './0046-fine-appeal.ts'
import * as sharedDevices from './0047-shared-devices.ts'
import * as marketWeeks from './0048-market-weeks.ts'
import * as turnStart from './0049-turn-start.ts'
import * as weekTakenBack from './0050-week-taken-back.ts'
import * as livesTogether from './0051-lives-together.ts'
import * as unmeasured from './0052-unmeasured.ts'
import * as decisions from './0053-decisions.ts'
import * as warnings from './0054-warnings.ts'
import * as graveActs from './0055-grave-acts.ts'
import * as tenure from './0056-tenure.ts'
import * as tenants from './0057-tenants.ts'
import * as handover from './0058-handover.ts'
import * as weekSeal from './0059-week-seal.ts'
import * as arrearsMoved from './0060-arrears-moved.ts'
import * as passwordApart from './0061-password-apart.ts'
import * as indexes from './0062-indexes.ts'
import * as sessions from './0063-sessions.ts'
import * as oneTimeCodes from './0064-one-time-codes.ts'
import * as askedThrough from './0065-asked-through.ts'
import * as personLanguage from './0066-person-language.ts'
import * as ownWords from './0067-own-words.ts'
import * as measures from './0068-measures.ts'
import * as customs from './0069-customs.ts'
import * as calendar from './0070-calendar.ts'
import * as voice from './0071-voice.ts'
import * as groupLanguage from './0072-group-language.ts'
import * as conductRules from './0073-conduct-rules.ts'
import * as chargedOnBoth from './0074-charged-on-both.ts'

/** Listed by hand, in order, forward only. Never edit one that has run; add the next number. */
export const migrations: Record<string, Migration> = {
  '0001-entries': entries,
  '0002-people': people,
  '0003-water': water,
  '0004-crops': crops,
  '0005-rotation': rotation,
  '0006-abstractions': abstractions,
  '0007-fees': fees,
  '0008-sand': sand,
  '0009-watch': watch,
  '0010-planting': planting,
  '0011-rules': rules,
  '0012-turns': turns,
  '0013-treasury': treasury,
  '0014-log': log,
  '0015-day': day,
  '0016-day-after': dayAfter,
  '0017-paper': paper,
  '0018-works': works,
  '0019-missed-turns': missedTurns,
  '0020-reserve': reserve,
  '0021-tank-turns': tankTurns,
  '0022-two-books': twoBooks,
  '0023-shared-device': sharedDevice,
  '0024-turn-lengths': turnLengths,
  '0025-drinking-caution': drinkingCaution,
  '0026-most-turns': mostTurns,
  '0027-air-readings': airReadings,
  '0028-plan-cover': planCover,
  '0029-cloudy-day': cloudyDay,
  '0030-plot-mulch': plotMulch,
  '0031-hash-version': hashVersion,
  '0032-pump-running': pumpRunning,
  '0033-joining': joining,
  '0034-lookups': lookups,
  '0035-names': names,
  '0036-count-decisions': countDecisions,
  '0037-consent-given': consentGiven,
  '0038-excuse': excuse,
  '0039-rest-weirs': restWeirs,
  '0040-salt-washing': saltWashing,
  '0041-missed-hearing': missedHearing,
  '0042-other-income': otherIncome,
  '0043-start-unread': startUnread,
  '0044-clock': clock,
  '0045-marks': marks,
  '0046-fine-appeal': fineAppeal,
  '0047-shared-devices': sharedDevices,
  '0048-market-weeks': marketWeeks,
  '0049-turn-start': turnStart,
  '0050-week-taken-back': weekTakenBack,
  '0051-lives-together': livesTogether,
  '0052-unmeasured': unmeasured,
  '0053-decisions': decisions,
  '0054-warnings': warnings,
  '0055-grave-acts': graveActs,
  '0056-tenure': tenure,
  '0057-tenants': tenants,
  '0058-handover': handover,
  '0059-week-seal': weekSeal,
  '0060-arrears-moved': arrearsMoved,
  '0061-password-apart': passwordApart,
  '0062-indexes': indexes,
  '0063-sessions': sessions,
  '0064-one-time-codes': oneTimeCodes,
  '0065-asked-through': askedThrough,
  '0066-person-language': personLanguage,
  '0067-own-words': ownWords,
  '0068-measures': measures,
  '0069-customs': customs,
  '0070-calendar': calendar,
  '0071-voice': voice,
  '0072-group-language': groupLanguage,
  '0073-conduct-rules': conductRules,
  '0074-charged-on-both': chargedOnBoth,
}
