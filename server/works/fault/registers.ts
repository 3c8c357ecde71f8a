import { moneyText } from '../../../domain/money/money.ts'
import { type Register, trouble } from '../../book/register/register.ts'
import { moneyWords } from '../../web/figures/money-words.ts'
import { figure } from '../../web/forms/typed.ts'
import { numberedOption } from '../../web/pages/form-page.ts'
import { listOutlets, listPumps } from '../pump/store.ts'
import { FaultForm, fixForm, ServiceForm } from './forms.ts'
import { listFaults } from './store.ts'

const COMMON = { permission: 'abstraction.log', back: '/log/faults', onField: 'onDate' } as const

export const faultRegister: Register<typeof FaultForm.fields> = {
  ...COMMON,
  writtenAt: '/log/faults/new',
  kind: 'fault',
  title: 'abstractions.faults.new',
  cautions: ['abstractions.faults.caution'],
  form: () => FaultForm,
  options: async ({ db, today }) => ({
    pumpId: (await listPumps(db, today)).map(numberedOption),
    outletId: (await listOutlets(db, today)).map(numberedOption),
  }),
  lines: {
    path: '/log/lines/fault',
    tables: ['fault', 'faultPlace'],
    typed: ({ fault: [fault] = [], faultPlace: [place] = [] }) => ({
      pumpId: fault!.pumpId,
      outletId: place?.outletId ?? '',
      what: fault!.what,
      onDate: fault!.foundOn,
      stopsPump: fault!.stopsPump ? 'yes' : '',
      runsAgainOn: place?.runsAgainOn ?? '',
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
      fault: [{ pumpId, what, stopsPump: stopsPump ? 1 : 0, foundOn: onDate }],
      faultPlace: outletId || runsAgainOn ? [{ outletId, runsAgainOn }] : [],
    }
  },
}

export const fixRegister: Register<ReturnType<typeof fixForm>['fields']> = {
  ...COMMON,
  writtenAt: '/log/faults/mended',
  kind: 'fault-fix',
  title: 'abstractions.faults.fix',
  cautions: ['abstractions.faults.caution', 'people.pump.caution-electric'],
  closed: { to: 'works.cost-see', fields: ['cost', 'voucher'] },
  form: ({ request }) => fixForm(moneyWords(request.visit).currency),
  start: async ({ query }) => ({ faultId: query.fault ?? '' }),
  // A mended fault is a choice only for the mending that is looked at again.
  options: async ({ db }, { corrects, everything }) => ({
    faultId: (await listFaults(db))
      .filter(({ fix }) => fix === null || everything || fix.id === corrects)
      .map(({ firstId, pumpNumber, what }) => ({ value: firstId, label: `${pumpNumber} ${what}` })),
  }),
  lines: {
    path: '/log/lines/mended',
    tables: ['faultFix'],
    typed: ({ faultFix: [fix] = [] }, currency) => ({
      faultId: fix!.faultId,
      onDate: fix!.fixedOn,
      cause: fix!.cause,
      daysLost: figure(fix!.daysLost),
      spares: fix!.spares ?? '',
      voucher: fix!.voucher ?? '',
      cost: fix!.costMinor === null ? '' : moneyText({ amountMinor: fix!.costMinor, currency }),
    }),
  },
  facts: async ({ faultId, onDate, cause, daysLost, spares, cost, voucher }, { db }, corrects) => {
    const fault = (await listFaults(db)).find((one) => one.firstId === faultId || one.id === faultId)
    if (!fault) return trouble('faultId', 'error.choose')
    if (fault.fix && fault.fix.id !== corrects) return trouble('faultId', 'abstractions.faults.fixed-already')
    if (onDate < fault.foundOn) return trouble('onDate', 'abstractions.faults.before-found')
    const fix = { faultId: fault.firstId, fixedOn: onDate, cause, daysLost, spares }
    return { faultFix: [{ ...fix, costMinor: cost, voucher }] }
  },
}

export const serviceRegister: Register<typeof ServiceForm.fields> = {
  ...COMMON,
  writtenAt: '/log/faults/service',
  kind: 'pump-service',
  title: 'abstractions.faults.service',
  cautions: ['people.pump.caution-electric', 'works.caution-fuel'],
  form: () => ServiceForm,
  options: async ({ db, today }) => ({ pumpId: (await listPumps(db, today)).map(numberedOption) }),
  lines: {
    path: '/log/lines/service',
    tables: ['pumpService'],
    typed: ({ pumpService: [row] = [] }) => ({
      pumpId: row!.pumpId,
      onDate: row!.doneOn,
      words: row!.words ?? '',
      hourMeter: figure(row!.hourMeterH),
      nextAfter: figure(row!.nextAfterH),
    }),
  },
  facts: async ({ pumpId, onDate, hourMeter, nextAfter, words }) => ({
    pumpService: [{ pumpId, doneOn: onDate, hourMeterH: hourMeter, nextAfterH: nextAfter, words }],
  }),
}
