import { clockMinute } from '../clock.ts'
import type { RequestTime } from './store.ts'

interface TypedTimes {
  wishedDay: string | null
  wishedFrom: string | null
  wishedTo: string | null
  cannotDay: string | null
  cannotFrom: string | null
  cannotTo: string | null
}

const KINDS = [
  { kind: 'wished', day: 'wishedDay', from: 'wishedFrom', to: 'wishedTo' },
  { kind: 'impossible', day: 'cannotDay', from: 'cannotFrom', to: 'cannotTo' },
] as const

/** The hours of a request; a day without hours is the whole day, hours without a day are those of every day. */
export function requestTimes(typed: TypedTimes): { times: RequestTime[] } | { field: string; key: string } {
  const times: RequestTime[] = []
  for (const { kind, day, from, to } of KINDS) {
    if (typed[day] === null && typed[from] === null && typed[to] === null) continue
    const fromHour = typed[from] === null ? 0 : clockMinute(typed[from]) / 60
    const toHour = typed[to] === null ? 24 : clockMinute(typed[to]) / 60
    if (toHour <= fromHour) return { field: to, key: 'rotation.request.hours-run-back' }
    times.push({ kind, weekday: typed[day] === null ? null : Number(typed[day]), fromHour, toHour })
  }
  return { times }
}
