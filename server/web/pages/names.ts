import type { Id } from '../../../domain/id.ts'
import { actOf, namesNeeded } from '../../book/names/acts.ts'
import { hindranceTo, namesUnder, subjectOf } from '../../book/names/approvals.ts'
import { rewordedBy } from '../../book/names/reworded-store.ts'
import { withheldOf } from '../../book/names/withheld-store.ts'
import type { Desk } from './desk.ts'

/** How a matter of two names stands for whoever looks at its page. */
interface NamesShown {
  /** It has fewer names than it needs and nobody declined or withdrew it. */
  waits: boolean
  /** This visitor may put a name under it now. */
  mayName: boolean
  /** Why not, for somebody who could by office: a key of the catalogue. */
  why: string | null
  /** That it was declined or withdrawn, by whom and why. */
  withheld: string | null
  /** Where this visitor's name goes, of what holds by it alone. */
  approveAt: string | null
  /** What the button for it says: not everything waits to hold until it has its name. */
  approveWords: string
  /** Where this visitor may decline or withdraw it. */
  door: { href: string; label: string } | null
  /** That whoever wrote it also put other words on pages that this visitor reads, and where they stand. */
  reworded: { words: string; href: string } | null
}

export async function namesShown(desk: Desk, id: string): Promise<NamesShown> {
  const { db, person, t, format } = desk
  const { kind, writtenBy } = await subjectOf(db, id)
  const act = actOf(kind)
  const withheld = await withheldOf(db, id)
  const waits = !withheld && (await namesUnder(db, id)).length < (await namesNeeded(db, kind, id))
  const isWriter = writtenBy === person.id
  const mayByOffice = waits && (await isAskedToName(desk, id, kind))
  const hindrance = mayByOffice ? await hindranceTo(db, id, { personId: person.id, at: desk.at.toISOString() }) : null
  const said = withheld && { name: withheld.byName, when: format.instant(withheld.at), reason: withheld.reason }
  const label = t(isWriter ? 'names.withdraw' : 'names.decline')
  const mayName = mayByOffice && hindrance === null
  return {
    waits,
    mayName,
    reworded: mayName ? await rewordedShown(desk, [writtenBy]) : null,
    approveAt: act.byItself && mayName ? `/book/names/${id}` : null,
    approveWords: act.holdsAtOnce ? 'names.approve-held' : 'names.approve',
    why: hindrance && `error.${hindrance}`,
    withheld: said && t(withheld.byWriter ? 'names.withdrawn-line' : 'names.declined-line', said),
    door: waits && !act.holdsAtOnce && (isWriter || mayByOffice) ? { href: `/book/names/${id}/withhold`, label } : null,
  }
}

/** Nobody puts a name under what reads otherwise to them than it was written: the sentences may be the writer's own. */
export async function rewordedShown(desk: Desk, writerIds: readonly Id<'person'>[]): Promise<NamesShown['reworded']> {
  const language = ownWordsOf(desk)
  const personIds = writerIds.filter((id) => id !== desk.person.id)
  const count = await rewordedBy(desk.db, { language, personIds })
  return count === 0 ? null : { words: desk.t('names.reworded', { count }), href: `/people/languages/${language}` }
}

/** Own words are kept by the language itself, whatever digits somebody reads in it. */
export function ownWordsOf({ locale }: Desk): string {
  return new Intl.Locale(locale.language).baseName
}

/** By office, or because it is this person who is asked. */
export async function isAskedToName(desk: Desk, id: string, kind: string): Promise<boolean> {
  const { permission, asked, alsoMay } = actOf(kind)
  const isNear = alsoMay && (await alsoMay(desk.db, id)).includes(desk.person.id)
  if (!desk.may(permission) && !isNear) return false
  return !asked || (await asked(desk.db, id)).includes(desk.person.id)
}
