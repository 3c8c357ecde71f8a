import type { FastifyInstance } from 'fastify'
import { moneyText } from '../../../domain/money/money.ts'
import { sum } from '../../../domain/sum.ts'
import type { Parts } from '../../parts.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { date, number, optional, select, text, tick } from '../../web/forms/fields.ts'
import { defineForm } from '../../web/forms/forms.ts'
import { money } from '../../web/forms/money-field.ts'
import { may } from '../../web/pages/guard.ts'
import { page } from '../../web/pages/page.ts'
import { listOutlets } from '../pump/store.ts'
import { figure } from '../register/kept-store.ts'
import { trouble } from '../register/line.ts'
import { addRegister } from '../register/register.ts'
import { listFaults, serviceStates } from './store.ts'

const FaultForm = defineForm('abstractions.fault', {
  pumpId: select(),
  outletId: optional(select()),
  what: text({ max: 200 }),
  stopsPump: tick(),
  runsAgainOn: optional(date()),
  onDate: date(),
})

const fixForm = (currency: string) =>
  defineForm('abstractions.fault-fix', {
    faultId: select(),
    onDate: date(),
    cause: text({ max: 200 }),
    daysLost: number({ min: 0, max: 366 }),
    spares: optional(text({ max: 200 })),
    cost: optional(money(currency)),
    voucher: optional(text({ max: 40 })),
  })

const ServiceForm = defineForm('abstractions.service', {
  pumpId: select(),
  onDate: date(),
  hourMeter: number({ min: 0, max: 1_000_000 }),
  nextAfter: number({ min: 1, max: 100_000 }),
  words: optional(text({ max: 200 })),
})

/** The fault book: found, fixed, what it cost in days and coins; and the hours to the next service. */
export function addFaultRoutes(app: FastifyInstance, parts: Parts): void {
  const { db } = parts
  app.get('/faults', { preHandler: may('abstractions.see') }, async (request, reply) => {
    const words = moneyWords(request.visit)
    const faults = await listFaults(db)
    return page({ request, reply }, 'works/fault/list', {
      title: 'abstractions.faults.title',
      faults: faults.map((fault) => ({ ...fault, cost: costOf(fault.fix?.costMinor ?? null) })),
      daysLost: sum(faults, ({ fix }) => fix?.daysLost ?? 0),
      services: await serviceStates(db),
    })

    function costOf(amountMinor: number | null): string | null {
      return amountMinor === null ? null : words.money(amountMinor)
    }
  })

  const common = { permission: 'abstraction.log' as const, back: '/works/faults', onField: 'onDate' }
  addRegister(app, parts, {
    ...common,
    ...{
      path: '/works/faults',
      kind: 'fault',
      title: 'abstractions.faults.new',
      cautions: ['abstractions.faults.caution'],
    },
    form: () => FaultForm,
    kept: {
      tables: ['fault', 'fault_place'],
      typed: ({ fault: [fault] = [], fault_place: [place] = [] }) => ({
        ...{ pumpId: fault!.pump_id, outletId: place?.outlet_id ?? '', what: fault!.what, onDate: fault!.found_on },
        ...{ stopsPump: fault!.stops_pump ? 'yes' : '', runsAgainOn: place?.runs_again_on ?? '' },
      }),
      mayStrike: async (id) => {
        const mended = (await listFaults(db)).some((fault) => fault.id === id && fault.fix)
        return mended ? 'works.strike-mending-first' : null
      },
    },
    facts: async ({ pumpId, outletId, what, stopsPump, runsAgainOn, onDate }) => {
      const outlet = outletId && (await listOutlets(db, onDate)).find((one) => one.id === outletId)
      if (outletId && (!outlet || outlet.pumpId !== pumpId)) return trouble('outletId', 'works.fault.other-pump')
      if (runsAgainOn && !stopsPump) return trouble('stopsPump', 'works.fault.runs-anyway')
      if (runsAgainOn && runsAgainOn <= onDate) return trouble('runsAgainOn', 'works.fault.runs-again-before')
      return {
        fault: [{ pump_id: pumpId, what, stops_pump: stopsPump ? 1 : 0, found_on: onDate }],
        fault_place: outletId || runsAgainOn ? [{ outlet_id: outletId, runs_again_on: runsAgainOn }] : [],
      }
    },
  })
  addRegister(app, parts, {
    ...common,
    ...{ path: '/works/fault-fixes', kind: 'fault-fix', title: 'abstractions.faults.fix' },
    form: (request) => fixForm(moneyWords(request.visit).currency),
    start: async (request) => ({ faultId: String((request.query as { fault?: string }).fault ?? '') }),
    kept: {
      tables: ['fault_fix'],
      typed: ({ fault_fix: [fix] = [] }, currency) => ({
        ...{ faultId: fix!.fault_id, onDate: fix!.fixed_on, cause: fix!.cause, daysLost: figure(fix!.days_lost) },
        ...{ spares: fix!.spares ?? '', voucher: fix!.voucher ?? '' },
        cost: fix!.cost_minor === null ? '' : moneyText({ amountMinor: fix!.cost_minor, currency }),
      }),
    },
    facts: async ({ faultId, onDate, cause, daysLost, spares, cost, voucher }, _request, corrects) => {
      const fault = (await listFaults(db)).find((one) => one.firstId === faultId || one.id === faultId)
      if (!fault) return trouble('faultId', 'error.choose')
      if (fault.fix && fault.fix.id !== corrects) return trouble('faultId', 'abstractions.faults.fixed-already')
      if (onDate < fault.foundOn) return trouble('onDate', 'abstractions.faults.before-found')
      const fix = { fault_id: fault.firstId, fixed_on: onDate, cause, days_lost: daysLost, spares }
      return { fault_fix: [{ ...fix, cost_minor: cost, voucher }] }
    },
  })
  addRegister(app, parts, {
    ...common,
    ...{ path: '/works/services', kind: 'pump-service', title: 'abstractions.faults.service' },
    form: () => ServiceForm,
    kept: {
      tables: ['pump_service'],
      typed: ({ pump_service: [row] = [] }) => ({
        ...{ pumpId: row!.pump_id, onDate: row!.done_on, words: row!.words ?? '' },
        ...{ hourMeter: figure(row!.hour_meter_h), nextAfter: figure(row!.next_after_h) },
      }),
    },
    facts: async ({ pumpId, onDate, hourMeter, nextAfter, words }) => ({
      pump_service: [{ pump_id: pumpId, done_on: onDate, hour_meter_h: hourMeter, next_after_h: nextAfter, words }],
    }),
  })
}
