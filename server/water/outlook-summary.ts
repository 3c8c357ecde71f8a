import type { FastifyRequest } from 'fastify'
import type { Database } from '../database/connection.ts'
import { coverSentences } from './cover-routes.ts'

/** What the water page says of the days ahead. */
export async function waterWatch(db: Database, request: FastifyRequest) {
  return { covers: await coverSentences(db, request) }
}
