/** What a person wants, and the links and folds that lead there from the first page, each named by a part of its words. */
export interface Task {
  who: string
  /** While the first turn of the day runs, or an hour before it; else noon. */
  clock: 'running' | 'before' | 'noon'
  task: string
  taps: (string | RegExp)[]
  ends: RegExp
}

type Row = [task: string, taps: (string | RegExp)[], ends: RegExp]

/** Not “Ask for water”, nor “Log of today”. */
const WATER = /^\s*Water\s*$/
const BOOK = /^\s*Book\s*$/
const LOG = 'The log of today'
const MORE = /^\s*More\s*$/

/** By the clock: what only waits while a turn runs or is to come. */
const BY_THE_CLOCK: Task[] = [
  {
    who: 'dovi',
    clock: 'running',
    task: 'read the start of a turn',
    taps: ['begins: read the meter'],
    ends: /^\/log\/turns\/.*as=start/,
  },
  {
    who: 'dovi',
    clock: 'before',
    task: 'the morning round',
    taps: ['Morning round'],
    ends: /^\/log\/round\?moment=dawn$/,
  },
  { who: 'hila', clock: 'before', task: 'why my next turn', taps: ['Why this much'], ends: /^\/turns\/working\/why\// },
  { who: 'hila', clock: 'before', task: 'I cannot come', taps: ['I cannot come'], ends: /^\/(log\/days|turns)\// },
]

/** The tasks of each role on any day, with as many taps as they take before the one that sends. */
const AT_NOON: Record<string, Row[]> = {
  dovi: [
    ['less sun, share anew', ['Less sun', 'Half day'], /^\/log\/days\//],
    ['water at the stand', [LOG, 'Drinking stand'], /^\/log\/water/],
    ['water off the list', [LOG, 'Draw off the list'], /^\/log\/water/],
    ['a level', [LOG, 'Write in a level'], /^\/water\/levels\/new/],
    ['close the day', [LOG, 'Closing the day'], /^\/log\/close/],
    ['a bucket test', [LOG, 'Flow tests', 'Write in a flow test'], /^\/log\/tests\/bucket/],
    ['a night test', [LOG, 'Night tests'], /^\/log\/tests\?as=night/],
    ['something is broken', [LOG, 'Faults', 'Write in a fault'], /^\/log\/faults\/new/],
    ['an odd line', [LOG, 'look at again'], /^\/log\/check/],
    ['look at a wall', [WATER, 'Inspection book'], /^\/water\/walls/],
    ['the stream', [WATER, 'The stream’s share'], /^\/water\/stream/],
    ['the book on paper', [BOOK, 'Paper'], /^\/paper/],
  ],
  hila: [
    ['what my plot got', ['agreed and drawn'], /^\/turns\/plots\//],
    ['ask for water', ['Ask for water'], /^\/turns\/ask$/],
    ['is it fair', ['Turns', 'Is it fair?'], /^\/turns\/fair$/],
    ['what I have to pay', ['To pay'], /^\/money/],
    ['a receipt', ['Money', 'Receipt'], /^\/money\/receipts\//],
    ['the price of water', ['Money', MORE, 'Price of water'], /^\/money\/price$/],
    ['free hours', ['Turns', 'What was asked for', 'Open hours to book'], /^\/turns\/asked\?as=free/],
    ['say yes to a swap', ['Turns', 'What was asked for', 'Swaps'], /^\/turns\/asked\?as=swaps/],
    ['the week', ['Turns'], /^\/turns\/weeks\//],
    ['the sheet', ['Turns', MORE, 'sheet'], /\/sheet$/],
    ['how we share', ['Turns', MORE, 'Sharing rule'], /^\/turns\/rule$/],
    ['how long it lasts', [WATER, 'The season ahead'], /^\/water\/lasts$/],
    ['where the water went', [WATER, 'Season balance'], /^\/water\/went$/],
    ['if it gets dry', [WATER, MORE, 'Drought stages'], /^\/water\/dry$/],
    ['what may we plant', ['Crops', 'What may be planted'], /^\/crops\/planting$/],
    ['weather of the day', ['Crops', 'Write in one day of weather'], /^\/crops\/weather\/new$/],
    ['my password', ['Hila', MORE, 'password'], /^\/people\/settle\/password$/],
    ['my mark', ['Hila', MORE, 'mark'], /^\/people\/[^/]+\/mark$/],
    ['complain about what my plot got', ['agreed and drawn', MORE, 'complain'], /^\/people\/complaints\/new/],
  ],
  amaru: [
    ['is it fair', ['Is it fair?'], /^\/turns\/fair$/],
    ['how long it lasts', ['How long it lasts'], /^\/water\/lasts$/],
    ['the draft', ['Turns', 'The week after'], /^\/turns\/weeks\//],
    ['publish', ['Turns', 'The week after', 'Look once more'], /publish$/],
    ['the rule', ['Turns', 'Sharing rule'], /^\/turns\/rule$/],
    ['change the rule', ['Turns', 'Sharing rule', 'Set the sharing rule'], /^\/turns\/rule\/change$/],
    ['who asked', ['Turns', 'What was asked for'], /^\/turns\/asked$/],
    ['other rules', ['Turns', 'other rules'], /\/compare$/],
    ['a day without turns', ['Turns', 'without turns'], /^\/turns\/settle\/no-turn-day$/],
    ['what may we plant', ['Crops', 'What may be planted'], /^\/crops\/planting$/],
    ['write in a crop', ['Crops', 'Write in a crop'], /^\/crops\/new$/],
    ['dry stages', [WATER, 'Drought stages'], /^\/water\/dry$/],
    ['walls', [WATER, 'Inspection book'], /^\/water\/walls$/],
    ['a new person', [BOOK, 'People', 'Write in a person'], /^\/people\/new$/],
    ['a plot', [BOOK, 'People', 'Write in a plot'], /^\/people\/plots\/new$/],
    ['decisions', [BOOK, 'decisions'], /^\/people\/decisions$/],
    ['money held', ['Money', 'Cash counts'], /^\/money\/held$/],
    ['lists as files', [BOOK, 'spreadsheet'], /^\/book\/files$/],
  ],
  fanta: [
    ['take a payment', ['Money', 'Take a payment'], /^\/money\/pay$/],
    ['charges', ['Money', 'Charges to write'], /^\/money\/charges$/],
    ['who has to pay', ['Money', 'Still to pay'], /^\/money\/members$/],
    ['count', ['Money', 'More about money', 'Cash counts'], /^\/money\/held$/],
    ['write a voucher', ['Money', 'More about money', 'Vouchers'], /^\/money\/vouchers$/],
    ['work or produce', ['Money', 'More about money', 'labour or produce as payment'], /^\/money\/pay\?as=work$/],
    ['paper from bank or wallet', ['Money', 'More about money', 'Statements'], /^\/money\/held\?as=papers$/],
    ['close the month', ['Money', 'More about money', 'Closed'], /^\/money\/agree\?as=closed$/],
    ['does it agree', ['Money', 'Water and money'], /^\/money\/agree$/],
    ['the price', ['Money', 'Price of water'], /^\/money\/price$/],
  ],
  goro: [
    ['does it agree', ['Does it agree?'], /^\/money\/agree$/],
    ['dry stages', [WATER, 'Drought stages'], /^\/water\/dry$/],
    ['the whole book', ['The whole book'], /^\/(paper|book)/],
    ['the cash book', ['Money', 'More about money', 'Cash book'], /^\/money\/cash-book/],
    ['receipts', ['Money', 'More about money', 'Receipts'], /^\/money\/receipts$/],
    ['look again', [BOOK, 'Log', 'look at again'], /^\/log\/check$/],
  ],
  isko: [
    ['the turns', ['Turns'], /^\/turns\/weeks\//],
    ['where the water went', ['Where the water went'], /^\/water\/went$/],
    ['the share of the stream', ["The stream's share"], /^\/water\/stream$/],
    ['is it fair', ['Turns', 'Is it fair?'], /^\/turns\/fair$/],
    ['how long it lasts', [WATER, 'The season ahead'], /^\/water\/lasts$/],
  ],
}

export const TASKS: Task[] = [
  ...BY_THE_CLOCK,
  ...Object.entries(AT_NOON).flatMap(([who, rows]) =>
    rows.map(([task, taps, ends]): Task => ({ who, clock: 'noon', task, taps, ends })),
  ),
]
