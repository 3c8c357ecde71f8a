import type { Id } from '../../../domain/id.ts'
import type { Desk } from '../../web/pages/desk.ts'
import { arrearsRuleOn, ownerOn } from './owner-store.ts'
import { listPlots, type Plot } from './store.ts'

/** That a plot is let, by whom, and who answers for what its tenant leaves unpaid; null where it is not let. */
export async function letInWords(desk: Desk, plot: Plot): Promise<string | null> {
  const { db, t, today, format } = desk
  const owner = await ownerOn(db, plot.id, today)
  if (!owner || plot.holders.some(({ id }) => id === owner.id)) return null
  const rule = await arrearsRuleOn(db, today)
  const who = rule
    ? t(`tenure.arrears.follows-${rule.follows}`, { date: format.date(rule.fromOn) })
    : t('tenure.arrears.none')
  return `${t('tenure.owner.line', { name: owner.name })} ${who}`
}

interface Owner {
  id: Id<'person'>
  name: string
}

/** Owners who by the written rule answer for what tenants leave unpaid, by tenant; empty where it stays with the person. */
export async function answeringOwners({ db, today }: Desk): Promise<Map<Id<'person'>, Owner[]>> {
  const rule = await arrearsRuleOn(db, today)
  const owners = new Map<Id<'person'>, Owner[]>()
  if (rule?.follows !== 'plot') return owners
  for (const plot of await listPlots(db, today)) {
    const owner = await ownerOn(db, plot.id, today)
    if (!owner || plot.holders.some(({ id }) => id === owner.id)) continue
    for (const { id } of plot.holders) {
      const known = owners.get(id) ?? []
      if (!known.some((one) => one.id === owner.id)) owners.set(id, [...known, owner])
    }
  }
  return owners
}
