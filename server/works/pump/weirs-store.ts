import type { Id } from '../../../domain/id.ts'
import type { Database } from '../../database/connection.ts'
import { listOutlets, listPumps } from './store.ts'

/** The outlets of a plot, each with the weir from which its pump draws; its flow is 0 where nobody tested it. */
export type OutletsOf = (plot: { outletIds: readonly string[] }) => { weirId: Id<'weir'>; flowM3PerH: number }[]

/** From which weirs each plot can be watered, as it holds on a day. */
export async function plotOutlets(db: Database, on: string): Promise<OutletsOf> {
  const weirOfPump = new Map((await listPumps(db, on)).map((pump) => [pump.id, pump.weirId]))
  const outlets = (await listOutlets(db, on)).flatMap(({ id, pumpId, flowM3PerH }, at) => {
    const weirId = weirOfPump.get(pumpId)
    return weirId ? [[id as string, { at, told: { weirId, flowM3PerH: flowM3PerH ?? 0 } }] as const] : []
  })
  const byId = new Map(outlets)
  return ({ outletIds }) =>
    [...new Set(outletIds)]
      .flatMap((id) => byId.get(id) ?? [])
      .sort((a, b) => a.at - b.at)
      .map(({ told }) => told)
}
