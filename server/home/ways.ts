import { may, type Permission } from '../../domain/people/permissions.ts'
import type { Visit } from '../web/pages/page.ts'

interface Way {
  /** What stands behind `as=`; nothing for the first way. */
  as: string
  words: string
  permission?: Permission
}

/** The ways of the things that share an address, each under its words: one row of doors above all of them. */
const WAYS: Record<string, Way[]> = {
  '/turns/asked': [
    { as: '', words: 'rotation.request.list-title' },
    { as: 'free', words: 'day.slots-title' },
    { as: 'swaps', words: 'day.swaps-title' },
  ],
  '/turns/fair': [
    { as: '', words: 'week.fairness-door' },
    { as: 'missed', words: 'day.missed-title' },
    { as: 'line', words: 'line.title' },
  ],
  '/turns/:id/otherwise': [
    { as: '', words: 'day.way.excuse', permission: 'abstraction.log' },
    { as: 'stand-in', words: 'day.way.stand-in', permission: 'water.request' },
    { as: 'swap', words: 'day.way.swap', permission: 'water.request' },
  ],
  '/works': [
    { as: '', words: 'constraint.grounds-title' },
    { as: 'tanks', words: 'tank-turn.title' },
  ],
  '/water/stream/flow': [
    { as: '', words: 'stream.gauging.float' },
    { as: 'bucket', words: 'stream.gauging.bucket' },
  ],
  '/water/weirs/:id/sand': [
    { as: '', words: 'water.weir.survey-door' },
    { as: 'rod', words: 'storage.sections.door' },
  ],
  '/crops/weather': [
    { as: '', words: 'crops.weather-book.title' },
    { as: 'sheet', words: 'weather.sheet.door' },
  ],
  '/log/round': [
    { as: '', words: 'abstractions.round.way-all' },
    { as: 'meter', words: 'abstractions.round.way-meter' },
    { as: 'tank', words: 'abstractions.round.way-tank' },
    { as: 'tank-day', words: 'abstractions.round.way-tank-day' },
  ],
  '/log/tests': [
    { as: '', words: 'abstractions.flow-tests.title' },
    { as: 'night', words: 'abstractions.night.title' },
  ],
  '/log/tests/night': [
    { as: '', words: 'abstractions.night.new' },
    { as: 'meter', words: 'works.meter-night-new' },
  ],
  '/log/check': [
    { as: '', words: 'abstractions.flags.title' },
    { as: 'joined', words: 'works.merged-title' },
  ],
  '/money/receipts': [
    { as: '', words: 'fees.receipts-title', permission: 'money.see-all' },
    { as: 'books', words: 'receipt.books-title', permission: 'closing.see' },
  ],
  '/money/receipts/:number/mend': [
    { as: 'other-person', words: 'receipt.misplaced.door' },
    { as: '', words: 'fees.receipt.void-door' },
    { as: 'paper', words: 'receipt.paper.title' },
  ],
  '/money/pay': [
    { as: '', words: 'fees.payment.title' },
    { as: 'work', words: 'payment.kind.title' },
  ],
  '/money/price': [
    { as: '', words: 'fees.tariffs-title' },
    { as: 'work', words: 'payment.kind-rates-title' },
  ],
}

/** The ways beside the one that is shown, to whoever may go them; nothing where there is one way only. */
export const waysFor: Visit['ways'] = (roles, { pattern, path, as }) => {
  const ways = (WAYS[pattern] ?? []).filter(({ permission }) => !permission || may({ roles, permission }))
  if (ways.length < 2) return []
  return ways.map((way) => ({
    words: way.words,
    href: way.as === '' ? path : `${path}?as=${way.as}`,
    isShown: way.as === as,
  }))
}
