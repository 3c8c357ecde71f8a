import type { FastifyRequest } from 'fastify'
import { weekdayOf } from '../../domain/calendar.ts'
import { dueInspections } from '../../domain/water/index.ts'
import type { Database } from '../database/connection.ts'
import { coverSentences } from './cover/routes.ts'
import { droughtState } from './drought/state.ts'
import { listInspections } from './inspection/store.ts'
import { restDaysOn } from './stream/state.ts'

/** What the water page says of the days ahead, and what people should look at. */
export async function waterWatch(db: Database, request: FastifyRequest) {
  const { today } = request.visit
  const { inForce, proposed } = await droughtState(db, today)
  return {
    covers: await coverSentences(db, request),
    drought: { inForce, proposed },
    isRestDay: (await restDaysOn(db, today)).includes(weekdayOf(today)),
    ...dueInspections({ inspections: await listInspections(db), today }),
  }
}
