import { mean } from '../../../domain/sum.ts'
import { typedSentences } from '../../people/measure/state.ts'
import { findTurn } from '../../rotation/published/listed-store.ts'
import type { Desk, Pages } from '../../web/pages/desk.ts'
import { found } from '../../web/pages/errors.ts'
import { page } from '../../web/pages/page.ts'
import { tankOutletsOn } from '../../works/tank/outlet-store.ts'
import { listTanks } from '../../works/tank/store.ts'
import { correctionOf } from '../draw/correction-store.ts'
import { type MeterRead, meterReads, neighboursOf } from '../draw/meter-store.ts'
import { moreOf } from '../draw/more-store.ts'
import { type Abstraction, findAbstraction, listAbstractions } from '../draw/store.ts'
import { flagsOfDraws, flagWords } from '../plausibility/flags.ts'
import type { LogFlag } from '../plausibility/log-flag.ts'
import { ownMatters } from '../plausibility/own-store.ts'
import { settledFlags } from '../plausibility/store.ts'

/** Every draw's own page: how it was measured, what was odd about it, what it corrects and what corrects it. */
export function addEntryPages({ get }: Pages): void {
  get('/log/lines/drawn/:id', 'abstractions.see', showEntry)
}

async function showEntry(desk: Desk<'id'>) {
  const { db, params } = desk
  const drawn = found(await findAbstraction(db, params.id))
  const correction = (await correctionOf(db, drawn.id)) ?? null
  const old = drawn.correctsId === null ? null : ((await findAbstraction(db, drawn.correctsId)) ?? null)
  const more = (await moreOf(db, [drawn.id])).get(drawn.id)!
  return page(desk, 'abstractions/draw/entry', {
    title: `abstractions.entry.title-${drawn.use}`,
    titleValues: { plot: drawn.plotNumber ?? '' },
    drawn,
    typed: (await typedSentences(desk, drawn.method === 'volume' ? [drawn.id] : [])).get(drawn.id) ?? null,
    tank: await tankOf(desk, drawn),
    correction,
    more,
    meanSeconds: mean(more.seconds),
    rate: rateRange(drawn),
    old,
    plan: drawn.turnId === null ? null : ((await findTurn(db, drawn.turnId)) ?? null),
    flags: correction ? [] : await flagsOf(desk, drawn),
  })
}

async function tankOf({ db }: Desk, { outletId, onDate }: Abstraction) {
  const hangs = outletId === null ? undefined : (await tankOutletsOn(db, onDate)).get(outletId)
  return (hangs && (await listTanks(db)).find((tank) => tank.id === hangs.tankId)) ?? null
}

async function flagsOf(desk: Desk, drawn: Abstraction) {
  const { db, timeZone, t, format } = desk
  const on = drawn.onDate
  const draws = await listAbstractions(db, { fromOn: on, toOn: on })
  const flags = await flagsOfDraws(db, { draws, timeZone })
  const settled = (await settledFlags(db)).filter(({ subjectId }) => subjectId === drawn.id)
  const { before, own } = drawn.pumpId ? neighboursOf(await meterReads(db, drawn.pumpId), drawn.id) : {}
  const standsOn = own?.startUnread ? before : undefined
  const matters = (flags.get(drawn.id) ?? []).map((flag) => ({ draw: drawn, flag }))
  const forOthers = desk.may('abstraction.log') ? await ownMatters(desk, matters) : new Set()
  return matters.map((matter) => ({
    ...flagWords(t, format, matter.flag),
    code: matter.flag.code,
    isOwn: forOthers.has(matter),
    mend: mendHref(matter.flag, drawn.id, standsOn),
    settled: settled.find(({ code }) => code === matter.flag.code) ?? null,
  }))
}

/** What an hour may have brought, by the doubt of the whole draw. */
function rateRange({ flowM3PerH, volumeM3, uncertaintyM3 }: Abstraction) {
  const part = volumeM3 > 0 ? uncertaintyM3 / volumeM3 : 0
  return { low: (flowM3PerH ?? 0) * Math.max(0, 1 - part), high: (flowM3PerH ?? 0) * (1 + part) }
}

/** The correction with the likely reading laid in; a start that nobody read is mended where it was read, with both lines. */
function mendHref({ values }: LogFlag, id: string, standsOn: MeterRead | undefined): string | null {
  const { suggestedClosingM3: closing, suggestedOpeningM3: opening } = values
  if (closing !== undefined) return `/log/lines/drawn/${id}/correct?closing=${closing}`
  if (opening === undefined) return null
  return standsOn?.isDraw
    ? `/log/lines/drawn/${standsOn.id}/correct?closing=${opening}`
    : `/log/lines/drawn/${id}/correct?opening=${opening}`
}
