import type { Database } from '../../database/connection.ts'
import { allRoles } from '../../people/person/store.ts'
import type { Plot } from '../../people/plot/store.ts'

const OFFICERS = ['committee', 'attendant', 'treasurer', 'auditor']

export async function officerPlots(db: Database, on: string, plots: readonly Plot[]): Promise<string[]> {
  const roles = await allRoles(db, on)
  const isOfficer = (id: string) => (roles.get(id) ?? []).some((role) => OFFICERS.includes(role))
  return plots.filter((plot) => plot.holders.some((holder) => isOfficer(holder.id))).map((plot) => plot.id)
}
