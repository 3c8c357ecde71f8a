import { type BasisEntry, writtenAlone } from '../../../domain/rotation/week/basis-changes.ts'
import type { WeekInputs } from '../../../domain/rotation/week/inputs.ts'
import { hindranceTo } from '../../book/names/approvals.ts'
import { hasSecondOfficer } from '../../people/person/grave-store.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { type BasisLine, basisLines } from './store.ts'

/** What parts are reckoned by and is not as it was, as the last look shows it to whoever stands there. */
export async function basisLooked(desk: Desk, week: { inputs: WeekInputs }) {
  const { t, person } = desk
  const lines = await basisLines(desk, week.inputs)
  const alone = writtenAlone(lines, person.id)
  const looked = lines.map((line) => {
    const plot = plotOf(week, line)
    return {
      plotId: line.plotId,
      at: plot?.number ?? ('' as const),
      words: plot?.holders.join(', ') ?? t('rotation.publish-for-all'),
      small: [basisWords(desk, line), ...writers(desk, line)].join('; '),
      ...(alone.includes(line) ? { strong: t('rotation.publish-basis-own') } : {}),
      figure: '',
      under: '',
      href: 'href' in line ? line.href : `/people/plots/${line.plotId}`,
    }
  })
  return { lines, looked, alone: alone.length }
}

/** The lines that whoever stands there wrote alone, in words; none where this person may publish. */
export async function ownAlone(desk: Desk, week: { inputs: WeekInputs }): Promise<string[]> {
  return writtenAlone(await basisLines(desk, week.inputs), desk.person.id).map((line) =>
    line.plotId === null
      ? basisWords(desk, line)
      : desk.t('rotation.publish-basis-line', {
          plot: plotOf(week, line)?.number ?? '',
          words: basisWords(desk, line),
        }),
  )
}

/** The entries without a second name under which this visitor's name counts: an officer's, or a member's where there is no other officer. */
export async function entriesToName(
  desk: Desk,
  lines: readonly { entries: readonly BasisEntry[] }[],
): Promise<string[]> {
  const { db, person, at, today } = desk
  const found = new Set<string>()
  for (const { id, writerId, names } of lines.flatMap(({ entries }) => entries)) {
    if (names > 0 || found.has(id)) continue
    const about = { writerId, personId: null, at, today }
    if (!desk.may('basis.name') && (await hasSecondOfficer(db, about, 'basis.name'))) continue
    if ((await hindranceTo(db, id, { personId: person.id, at: at.toISOString() })) === null) found.add(id)
  }
  return [...found]
}

/** Who wrote the entries of a line, each with the names under that one: a name under one entry is none under another. */
function writers({ t }: Desk, { entries }: BasisLine): string[] {
  const said = entries.map(({ writerName, namedBy }) => {
    const by = t('rotation.publish-basis-by', { who: writerName })
    return namedBy.length > 0 ? `${by}, ${t('rotation.publish-basis-named', { who: namedBy.join(', ') })}` : by
  })
  const joined = entries.some(({ isJoined }) => isJoined) ? [t('rotation.publish-basis-joined')] : []
  return [...new Set(said), ...joined]
}

function basisWords({ t, format }: Desk, line: BasisLine): string {
  const { what, was, is } = line
  if ('href' in line) {
    const figure = (value: string | number | null) => (typeof value === 'number' ? format.one(value) : '–')
    const day = line.on ? format.date(line.on) : '–'
    const setting = line.setting ? t(`layout.settled.${line.setting}`) : ''
    const counted = { count: Number(is), weir: line.weir ?? '' }
    return t(`rotation.publish-written-${what}`, { day, was: figure(was), is: figure(is), setting, ...counted })
  }
  const shown = (value: string | number | null) => {
    if (typeof value !== 'number') return value ?? ''
    // People whom nobody counted stand as none.
    if (what === 'persons' && value === 0) return '–'
    return what === 'areaM2' || what === 'isNew' ? `${format.whole(value)} m²` : format.whole(value)
  }
  return t(`rotation.publish-basis-${what}`, { was: shown(was), is: shown(is) })
}

function plotOf({ inputs }: { inputs: WeekInputs }, { plotId }: BasisLine) {
  return inputs.plots.find(({ id }) => id === plotId)
}
