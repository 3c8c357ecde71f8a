import type { FastifyRequest } from 'fastify'
import type { Database } from '../../database/connection.ts'
import { listPersons } from '../../people/person/store.ts'
import type { Option } from '../../web/pages/form-page.ts'
import { listFaults } from '../fault/store.ts'
import { worksOn } from '../places.ts'
import { listTanks } from '../tank/store.ts'

/** Asks for mended faults too, to tell what a line says. */
export const EVERY_FAULT = 'every fault'

/** Whatever a register lets choose from the book; a mended fault only for the mending that is looked at again. */
export async function optionsOf(
  db: Database,
  request: FastifyRequest,
  old?: string,
): Promise<Record<string, Option[]>> {
  const { pumps, outlets } = await worksOn(db, request.visit.today)
  const numbered = ({ id, number, name }: { id: string; number: number; name: string }) => ({
    value: id,
    label: `${number} ${name}`,
  })
  return {
    pumpId: pumps.map(numbered),
    outletId: outlets.map(numbered),
    tankId: (await listTanks(db)).map(numbered),
    cashToId: (await listPersons(db)).map(numbered),
    faultId: (await listFaults(db))
      .filter(({ fix }) => fix === null || old === EVERY_FAULT || fix.id === old)
      .map(({ firstId, pumpNumber, what }) => ({ value: firstId, label: `${pumpNumber} ${what}` })),
  }
}
