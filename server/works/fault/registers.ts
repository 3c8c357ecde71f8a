import { moneyText } from '../../../domain/money/money.ts'
import { type Register, trouble } from '../../book/register/register.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { figure } from '../../web/forms/typed.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { listOutlets, listPumps } from '../pump/store.ts'
import { FaultForm, fixForm, ServiceForm } from './forms.ts'
import { listFaults } from './store.ts'

const COMMON = { permission: 'abstraction.log', back: '/works/faults', onField: 'onDate' } as const

export const faultRegister: Register<typeof FaultForm.fields> = {
  ...COMMON,
  path: '/works/faults',
  kind: 'fault',
  title: 'abstractions.faults.new',
  cautions: ['abstractions.faults.caution'],
  form: () => FaultForm,
  options: async ({ db, today }) => ({
    pumpId: (await listPumps(db, today)).map(numberedOption),
    outletId: (await listOutlets(db, today)).map(numberedOption),
  }),
  lines: {
    tables: ['fault', 'fault_place'],
    typed: ({ fault: [fault] = [], fault_place: [place] = [] }) => ({
      pumpId: fault!.pump_id,
      outletId: place?.outlet_id ?? '',
      what: fault!.what,
      onDate: fault!.found_on,
      stopsPump: fault!.stops_pump ? 'yes' : '',
      runsAgainOn: place?.runs_again_on ?? '',
    }),
    mayStrike: async (db, id) => {
      const mended = (await listFaults(db)).some((fault) => fault.id === id && fault.fix)
      return mended ? 'works.strike-mending-first' : null
    },
  },
  facts: async ({ pumpId, outletId, what, stopsPump, runsAgainOn, onDate }, { db }) => {
    const outlet = outletId && (await listOutlets(db, onDate)).find((one) => one.id === outletId)
    if (outletId && (!outlet || outlet.pumpId !== pumpId)) return trouble('outletId', 'works.fault.other-pump')
    if (runsAgainOn && !stopsPump) return trouble('stopsPump', 'works.fault.runs-anyway')
    if (runsAgainOn && runsAgainOn <= onDate) return trouble('runsAgainOn', 'works.fault.runs-again-before')
    return {
      fault: [{ pump_id: pumpId, what, stops_pump: stopsPump ? 1 : 0, found_on: onDate }],
      fault_place: outletId || runsAgainOn ? [{ outlet_id: outletId, runs_again_on: runsAgainOn }] : [],
    }
  },
}

export const fixRegister: Register<ReturnType<typeof fixForm>['fields']> = {
  ...COMMON,
  path: '/works/fault-fixes',
  kind: 'fault-fix',
  title: 'abstractions.faults.fix',
  form: ({ request }) => fixForm(moneyWords(request.visit).currency),
  start: async ({ query }) => ({ faultId: query.fault ?? '' }),
  // A mended fault is a choice only for the mending that is looked at again.
  options: async ({ db }, { corrects, everything }) => ({
    faultId: (await listFaults(db))
      .filter(({ fix }) => fix === null || everything || fix.id === corrects)
      .map(({ firstId, pumpNumber, what }) => ({ value: firstId, label: `${pumpNumber} ${what}` })),
  }),
  lines: {
    tables: ['fault_fix'],
    typed: ({ fault_fix: [fix] = [] }, currency) => ({
      faultId: fix!.fault_id,
      onDate: fix!.fixed_on,
      cause: fix!.cause,
      daysLost: figure(fix!.days_lost),
      spares: fix!.spares ?? '',
      voucher: fix!.voucher ?? '',
      cost: fix!.cost_minor === null ? '' : moneyText({ amountMinor: fix!.cost_minor, currency }),
    }),
  },
  facts: async ({ faultId, onDate, cause, daysLost, spares, cost, voucher }, { db }, corrects) => {
    const fault = (await listFaults(db)).find((one) => one.firstId === faultId || one.id === faultId)
    if (!fault) return trouble('faultId', 'error.choose')
    if (fault.fix && fault.fix.id !== corrects) return trouble('faultId', 'abstractions.faults.fixed-already')
    if (onDate < fault.foundOn) return trouble('onDate', 'abstractions.faults.before-found')
    const fix = { fault_id: fault.firstId, fixed_on: onDate, cause, days_lost: daysLost, spares }
    return { fault_fix: [{ ...fix, cost_minor: cost, voucher }] }
  },
}

export const serviceRegister: Register<typeof ServiceForm.fields> = {
  ...COMMON,
  path: '/works/services',
  kind: 'pump-service',
  title: 'abstractions.faults.service',
  form: () => ServiceForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  lines: {
    tables: ['pump_service'],
    typed: ({ pump_service: [row] = [] }) => ({
      pumpId: row!.pump_id,
      onDate: row!.done_on,
      words: row!.words ?? '',
      hourMeter: figure(row!.hour_meter_h),
      nextAfter: figure(row!.next_after_h),
    }),
  },
  facts: async ({ pumpId, onDate, hourMeter, nextAfter, words }) => ({
    pump_service: [{ pump_id: pumpId, done_on: onDate, hour_meter_h: hourMeter, next_after_h: nextAfter, words }],
  }),
}
