import type { FastifyRequest } from 'fastify'
import { weekEndOn } from '../../../domain/calendar.ts'

export function weekValues(request: FastifyRequest, weekStartOn: string): Record<string, string> {
  const { format } = request.visit
  return { start: format.date(weekStartOn), end: format.date(weekEndOn(weekStartOn)) }
}
