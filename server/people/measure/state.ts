import { type TypedVolume, typedVolumeM3, type Vessel } from '../../../domain/people/measure.ts'
import type { Desk } from '../../web/pages/desk.ts'
import type { Option } from '../../web/pages/form-page.ts'

/** The group's vessels as choices, each with its litres. */
export function vesselOptions({ t, format }: Pick<Desk, 't' | 'format'>, vessels: readonly Vessel[]): Option[] {
  return vessels.map(({ name, litresEach }) => ({
    value: name,
    label: t('measure.sized', { name, size: format.one(litresEach) }),
  }))
}

/** How some volumes were typed, in words with their range, by the entry; nothing for those typed in m3. */
export async function typedSentences({ db, t, format }: Pick<Desk, 'db' | 't' | 'format'>, ids: readonly string[]) {
  if (ids.length === 0) return new Map<string, string>()
  const rows = await db
    .selectFrom('typedVolume')
    .selectAll()
    .where('entryId', 'in', ids as string[])
    .execute()
  return new Map(rows.map(({ entryId, unit, ...typed }) => [entryId, sentence(unit, typed)]))

  function sentence(unit: string, typed: TypedVolume): string {
    const { lowM3, highM3 } = typedVolumeM3(typed)
    const litres = format.one(typed.litresEach)
    const known = unit === 'hours' || unit === 'jerrycans'
    const name = known ? t(`measure.typed-${unit}`, { litres }) : t('measure.sized', { name: unit, size: litres })
    return t('measure.typed', {
      figure: format.two(typed.figure),
      name,
      low: format.volume(lowM3),
      high: format.volume(highM3),
    })
  }
}
