/** What a person wants, and the links and folds that lead there from the first page, each named by a part of its words. */
export interface Task {
  who: string
  clock: Clock
  task: string
  /** In how many taps it should be done, the one that sends among them. */
  wanted: number
  taps: (string | RegExp)[]
  ends: RegExp
  /** The last page is a form, so one more tap sends it. */
  sends: boolean
  /** What stands there to be read. */
  says?: RegExp
}

/**
 * An hour before the first turn of the day, while it runs, at noon, after the last; two days later, when next week is prepared; and
 * eight days later, when a week of turns has not been charged.
 */
export const CLOCKS = ['before', 'running', 'noon', 'evening', 'friday', 'next-week'] as const
export type Clock = (typeof CLOCKS)[number]

type Row = [task: string, wanted: number, taps: (string | RegExp)[], ends: RegExp, says?: RegExp]

/** Rows of one person at one hour: first those that are done by reading, then those that are sent. */
function rowsOf(who: string, clock: Clock, { read = [], send = [] }: { read?: Row[]; send?: Row[] }): Task[] {
  const taskOf = (sends: boolean, [task, wanted, taps, ends, says]: Row): Task => {
    const row = { who, clock, task, wanted, taps, ends, sends }
    return says ? { ...row, says } : row
  }
  return [...read.map((row) => taskOf(false, row)), ...send.map((row) => taskOf(true, row))]
}

/** Not “Ask for water”, nor “Log of today”. */
const WATER = /^\s*Water\s*$/
const BOOK = /^\s*Book\s*$/
const LOG = /^\s*Log\s*$/
/** Closed, it goes on with the names of its first doors. */
const MORE = /^\s*More\b/
const ASK = /^\s*Ask for water/
const WRITE = 'Write in outlet'
const DRAFT = 'Look at the draft'
const HEAD_WEIR = /Heron Bend\s*read/
const ONE_DAY = 'One day, from the board'
const FIRST_TURN = /^\s*\d\d:\d\d\s*\d\d:\d\d/
const HOURS = /^\s*\d\d:\d\d–\d\d:\d\d\s*$/

const ATTENDANT: Task[] = [
  ...rowsOf('dovi', 'running', {
    read: [['who has water now, who is next', 0, [], /^\/$/, /begins: read the meter.*Next: outlet/s]],
    send: [['read the start of a turn', 2, ['begins: read the meter'], /^\/log\/turns\/.*as=start/]],
  }),
  ...rowsOf('dovi', 'before', {
    send: [
      ['the morning round', 2, ['Morning round'], /^\/log\/round\?moment=dawn$/, /Weir 4/],
      ['weather of the day, by whoever reads it', 2, ['Weather of today'], /^\/crops\/weather\/new$/],
    ],
  }),
  ...rowsOf('dovi', 'evening', {
    send: [
      ['the evening round', 2, ['Evening round'], /^\/log\/round\?moment=dusk$/],
      ['close the day', 2, ['Close the day'], /^\/log\/close\?as=new$/],
    ],
  }),
  ...rowsOf('dovi', 'noon', {
    send: [
      ['a turn that went as agreed', 2, [WRITE], /^\/log\/turns\//],
      [
        'the taker was late, or the water stopped early',
        3,
        [WRITE, 'Late or cut short'],
        /^\/log\/turns\//,
        /stopped before/,
      ],
      ['measured another way', 3, [WRITE, 'Hours and tested flow'], /method=hours/],
      ['nobody came', 2, [WRITE], /^\/log\/turns\//, /Nobody came/],
      ['somebody stands in', 3, [WRITE, 'Somebody else comes'], /otherwise\?as=stand-in$/],
      ['less sun, share anew', 2, ['Less sun'], /^\/log\/days\/.*open=less/],
      ['a pump stands still, share anew', 2, ['a pump that stands'], /^\/log\/days\/.*open=less/],
      ['water at the stand', 3, [LOG, 'Drinking stand'], /^\/log\/water\?use=drinking/],
      ['water at the trough', 3, [LOG, 'Stock trough'], /^\/log\/water\?use=stock/],
      ['water off the list', 3, [LOG, 'Draw off the list'], /^\/log\/water\?use=irrigation/],
      ['a level', 3, [LOG, 'Write in a level'], /^\/water\/levels\/new$/, /and the next one/],
      ['type in a page of the pump log', 3, [LOG, 'Type in a page of the pump log'], /^\/paper\/pump-log\/type$/],
      ['type in any page, from the Book', 4, [BOOK, 'Books on paper', 'Type in a page'], /^\/paper\/[^/]+\/type$/],
      ['a bucket test', 3, [LOG, 'Write in a bucket test'], /^\/log\/tests\/bucket$/],
      ['a night test', 3, [LOG, 'Write in a night test'], /^\/log\/tests\/night$/],
      [
        'how fast a chamber fills',
        4,
        [/Stone Hem\s*read/, 'What the chamber gives', 'how fast the chamber fills'],
        /^\/water\/weirs\/[^/]+\/refill$/,
      ],
      [
        'how fast a chamber fills, from Water',
        4,
        [WATER, 'What weir 2’s chamber gives', 'how fast the chamber fills'],
        /^\/water\/weirs\/[^/]+\/refill$/,
      ],
      [
        'how fast a chamber fills, from the Log',
        3,
        [LOG, 'How fast weir 2’s chamber fills'],
        /^\/water\/weirs\/[^/]+\/refill$/,
      ],
      ['a new meter', 3, [LOG, 'new meter'], /^\/log\/meter$/],
      ['something is broken', 3, ['Something broke', 'Write in a fault'], /^\/log\/faults\/new$/],
      ['a service', 3, ['Something broke', 'Write in a service'], /^\/log\/faults\/service$/],
      ['look at a wall', 3, [WATER, 'Write in a look at a wall'], /^\/water\/walls\/new$/],
    ],
    read: [
      [
        'what a chamber gives',
        3,
        [/Stone Hem\s*read/, 'What the chamber gives'],
        /^\/water\/working\/chamber\//,
        /m³ an hour/,
      ],
      ['what a chamber gives, from Water', 2, [WATER, 'What weir 2’s chamber gives'], /^\/water\/working\/chamber\//],
      ['what to look at again', 2, [LOG, 'look at again'], /^\/log\/check$/],
      ['the share of the stream', 2, [WATER, 'The stream’s share'], /^\/water\/stream$/],
      ['the books on paper', 2, [BOOK, 'Books on paper'], /^\/paper$/],
    ],
  }),
]

const MEMBER: Task[] = [
  ...rowsOf('hila', 'before', {
    read: [
      ['my next turn', 0, [], /^\/$/, /Your turn/],
      ['why my next turn', 1, ['Why this much'], /^\/turns\/working\/why\//],
    ],
    send: [
      ['I cannot come', 3, ['I cannot come'], /^\/log\/days\/.*open=turn-/, /I cannot come/],
      ['somebody stands in for me', 3, ['Swap or give', 'Somebody else comes'], /otherwise\?as=stand-in$/],
      ['swap or give', 3, ['Swap or give'], /otherwise\?as=swap$/],
    ],
  }),
  ...rowsOf('hila', 'noon', {
    read: [
      ['what my plot got', 0, [], /^\/$/, /its part was [\d,]+\s+[\d,]+/],
      ['week by week what my plot got', 1, ['its part was'], /^\/turns\/plots\//],
      ['is it fair', 1, ['Is it fair?'], /^\/turns\/fair$/],
      ['what I have to pay', 1, ['To pay'], /^\/money/],
      ['a receipt', 2, ['Money', 'Receipt'], /^\/money\/receipts\//],
      ['the price of water', 3, ['Money', MORE, 'Price of water'], /^\/money\/price$/],
      ['swaps that wait for me', 2, ['Turns', 'Swaps and gifts'], /^\/turns\/asked\?as=swaps$/],
      ['swaps, from my own turn', 2, ['Swap or give', 'Swaps and gifts'], /^\/turns\/asked\?as=swaps$/],
      ['the week', 1, ['Turns'], /^\/turns\/weeks\//],
      ['the sheet for the board', 3, ['Turns', MORE, 'sheet'], /\/sheet$/],
      ['how we share', 3, ['Turns', MORE, 'Sharing rule'], /^\/turns\/rule$/],
      ['rest days of the stream, from Turns', 3, ['Turns', MORE, 'Rest days of the stream'], /^\/water\/stream$/],
      ['how long it lasts', 2, [WATER, 'How long the water lasts'], /^\/water\/lasts$/],
      ['where the water went', 2, [WATER, 'Where the water went'], /^\/water\/went$/],
      ['if it gets dry', 3, [WATER, MORE, 'If it gets dry'], /^\/water\/dry$/],
      ['what may we plant', 2, ['Crops', 'What may be planted'], /^\/crops\/planting$/],
    ],
    send: [
      ['ask for water', 2, [ASK], /^\/turns\/ask$/],
      ['take free hours', 3, ['Take free hours', HOURS], /^\/turns\/ask\?as=free/],
      ['weather of the day, from Water', 3, [WATER, 'Write in the weather that was'], /^\/crops\/weather\/new$/],
      ['weather of the day', 3, ['Crops', 'Write in the weather that was'], /^\/crops\/weather\/new$/],
      [
        'hours that cannot be, from my plot',
        4,
        ['its part was', MORE, 'I can never come'],
        /^\/people\/settle\/hours$/,
      ],
      ['hours that can never be', 3, [ASK, 'I can never come'], /^\/people\/settle\/hours$/],
      ['hours that cannot be, from my turn', 3, ['I cannot come', 'I can never come'], /^\/people\/settle\/hours$/],
      ['hours that cannot be, from my own page', 4, ['Hila', MORE, 'I can never come'], /^\/people\/settle\/hours$/],
      ['my password', 3, ['Hila', 'Change my password'], /^\/people\/[^/]+$/],
      ['my mark', 4, ['Hila', 'Choose my mark', 'bridge'], /^\/people\/[^/]+\/mark\/bridge$/],
      ['complain about what my plot got', 4, ['its part was', MORE, 'complain'], /^\/people\/complaints\/new/],
    ],
  }),
]

const COMMITTEE: Task[] = [
  ...rowsOf('amaru', 'friday', {
    read: [
      ['are the levels fresh', 0, [], /^\/$/, /read \d+ days ago/],
      ['who asked', 2, [DRAFT, 'What was asked for'], /^\/turns\/asked$/],
      ['other rules', 2, [DRAFT, 'other rules'], /\/compare$/],
    ],
    send: [
      ['the expected sky', 2, ['Sky to come'], /^\/turns\/settle\/sky\//],
      ['a harvest', 3, [/^\s*\d+ more\b/, 'Harvest to write in'], /^\/crops\/plans\/[^/]+\/end$/],
      ['change a turn', 2, ['Change a turn by hand'], /^\/turns\/weeks\/[^/]+\/change$/, /Which turn/],
      ['publish', 3, [DRAFT, 'Look once more'], /publish$/],
    ],
  }),
  ...rowsOf('amaru', 'noon', {
    read: [
      ['is it fair', 1, ['Is it fair?'], /^\/turns\/fair$/],
      ['how long it lasts', 1, ['How long the water lasts'], /^\/water\/lasts$/],
      ['where the water went', 1, ['Where the water went'], /^\/water\/went$/],
      ['the draft of the week after', 2, ['Turns', 'The week after'], /^\/turns\/weeks\//],
      ['rest days of the stream, from Turns', 2, ['Turns', 'Rest days of the stream'], /^\/water\/stream$/],
      ['the season report, from the Book', 2, [BOOK, 'Season report'], /^\/money\/report$/],
      ['the rule', 2, ['Turns', 'Sharing rule'], /^\/turns\/rule$/],
      ['the season report', 2, ['Money', 'Season report'], /^\/money\/report$/],
      ['decisions', 2, [BOOK, 'decisions'], /^\/people\/decisions$/],
      ['money held', 2, ['Money', 'Money held'], /^\/money\/held$/],
      ['lists as files', 2, [BOOK, 'spreadsheet'], /^\/book\/files$/],
    ],
    send: [
      ['the expected sky, from the weather', 4, ['Crops', 'Weather book', 'Sky to come'], /^\/turns\/settle\/sky\//],
      ['the expected sky', 4, ['Turns', 'The week after', 'Sky to come'], /^\/turns\/settle\/sky\//],
      ['change the rule', 4, ['Turns', 'Sharing rule', 'Set the sharing rule'], /^\/turns\/rule\/change$/],
      ['the kind of a crop', 3, ['Crops', 'Say what kind a crop is'], /^\/turns\/settle\/class$/],
      ['people per plot', 3, ['Crops', /people.*plot/i], /^\/turns\/settle\/people-of-plot$/],
      ['people per plot, from the Book', 3, [BOOK, /people a plot/], /^\/turns\/settle\/people-of-plot$/],
      [
        'a day without turns',
        4,
        ['Turns', 'hours without turns', 'A day without turns'],
        /^\/turns\/settle\/no-turn-day$/,
      ],
      ['write in a crop', 3, ['Crops', 'Write in a crop'], /^\/crops\/new$/],
      [
        'a harvest of a crop in its last stage',
        3,
        ['Crops', /^\s*\d+ [A-Z][a-z]+\s*$/],
        /^\/crops\/plans\/[^/]+\/end$/,
      ],
      [
        'a harvest, from its plot',
        4,
        ['Crops', /^\s*29\s+upper bed/, 'Write in the harvest'],
        /^\/crops\/plans\/[^/]+\/end$/,
      ],
      ['say what one plans to sow', 3, ['Crops', 'Say what you plan to sow'], /^\/crops\/new\?as=beforehand$/],
      ['tape a plot', 3, ['Crops', 'Tape a plot'], /^\/crops\/tape$/],
      ['when the second planting is decided', 3, ['Crops', 'second planting'], /^\/crops\/settle\/second-look$/],
      ['begin a dry stage', 3, [WATER, 'Declare a dry stage'], /^\/water\/dry\/declare$/],
      ['count people, from the Book', 3, [BOOK, 'Count people'], /^\/water\/kept\/count$/],
      ['count people', 3, [WATER, 'Count people'], /^\/water\/kept\/count$/],
      ['the late day of rain', 3, [WATER, 'late date of rain'], /^\/water\/settle\/late-rain$/],
      ['settle the rest days of the stream, from Water', 3, [WATER, 'Settle rest days'], /^\/water\/stream\/share$/],
      ['what a weir loses', 4, ['Find out what the sand loses', 'Settle on a loss'], /^\/water\/settle\/loss\//],
      [
        'correct the table of levels by our own readings',
        4,
        [HEAD_WEIR, 'Correct the table of levels'],
        /^\/water\/weirs\/[^/]+\/check$/,
      ],
      [
        'correct the table of levels by our own readings, from Water',
        4,
        [WATER, 'Weir 1, Heron Bend', 'Correct the table of levels'],
        /^\/water\/weirs\/[^/]+\/check$/,
      ],
      ['look at a wall that is due', 2, ['Look at weir'], /^\/water\/walls\/new\?weirId=.*part=/],
      ['a new person', 4, [BOOK, 'People', 'Write in a person'], /^\/people\/new$/],
      ['a plot', 4, [BOOK, 'People', 'Write in a plot'], /^\/people\/plots\/new$/],
    ],
  }),
]

const TREASURER: Task[] = [
  ...rowsOf('fanta', 'next-week', {
    send: [
      ['write the charges', 2, ['wait to be charged'], /^\/money\/charges$/],
      ['count the cash', 2, ['Count the cash'], /^\/money\/count$/],
    ],
  }),
  ...rowsOf('fanta', 'noon', {
    read: [
      ['who has to pay', 1, ['Who has to pay'], /^\/money\/members$/],
      ['does it agree', 2, ['Money', 'Do water and money agree'], /^\/money\/agree$/],
      ['what the price must be', 3, ['Money', 'Costs and vouchers', 'must be'], /^\/money\/price\/reckon$/],
      ['all accounts printed', 2, ['Money', 'Accounts of all members'], /^\/money\/members\/all$/],
    ],
    send: [
      ['take a payment', 2, ['Take a payment'], /^\/money\/pay$/],
      ['count the cash before it is due', 3, ['Money', 'Count the cash'], /^\/money\/count$/],
      ['work or produce', 3, ['Take a payment', 'labour or produce as payment'], /^\/money\/pay\?as=work$/],
      ['work or produce, from Money', 3, ['Money', 'labour or produce as payment'], /^\/money\/pay\?as=work$/],
      ['charges of month or season', 3, ['Money', 'Charges by month'], /^\/money\/charges\?as=fees$/],
      ['a voucher', 3, ['Money', 'Write a voucher'], /^\/money\/vouchers\/new$/],
      ['paper from bank or wallet', 3, ['Money', 'Compare with a paper from bank'], /^\/money\/bank-paper$/],
      ['move money', 3, ['Money', 'Move money'], /^\/money\/move$/],
      ['agree on instalments', 3, ['Who has to pay', 'Agree on instalments'], /^\/money\/members\?as=instalments$/],
      ['agree on instalments, from Money', 3, ['Money', 'Agree on instalments'], /^\/money\/members\?as=instalments$/],
      ['a relief', 3, ['Money', 'Ask to let off a debt'], /^\/money\/relief$/],
      ['a fine', 3, ['Money', 'Write a fine'], /^\/money\/fine$/],
      ['set the price', 3, ['Money', 'Write a new price'], /^\/money\/price\/new$/],
      [
        'words under a difference',
        3,
        ['See whether October 2026 agrees', 'Write words under it'],
        /^\/money\/settle\/finding/,
      ],
      ['a receipt is not right', 4, ['Money', 'Receipts', 'Not right?'], /^\/money\/receipts\/[^/]+\/mend$/],
    ],
  }),
]

const AUDITOR = rowsOf('goro', 'noon', {
  read: [
    ['does it agree', 0, [], /^\/$/, /What does not agree|All agrees since 1 Nov 2026/],
    [
      'one day, from the board to the money',
      3,
      [ONE_DAY, FIRST_TURN, 'agreed, drawn, charged'],
      /^\/turns\/plots\/.*from=/,
      /Charged/,
    ],
    ['closed months', 1, ['Which weeks and months are closed'], /^\/money\/agree\?open=closed/],
    ['the seal', 2, ['Seal of the week'], /^\/paper\/seals$/],
    ['dry stages', 2, [WATER, 'If it gets dry'], /^\/water\/dry$/],
    ['the whole book', 1, ['The whole book'], /^\/(paper|book)/],
    ['the cash book', 3, ['Money', 'More about money', 'Cash book'], /^\/money\/cash-book/],
    ['receipts', 3, ['Money', 'More about money', 'Receipts'], /^\/money\/receipts$/],
    ['look again', 3, [BOOK, 'Log', 'look at again'], /^\/log\/check$/],
  ],
})

const NEIGHBOUR = rowsOf('isko', 'noon', {
  read: [
    ['the turns', 1, ['Turns'], /^\/turns\/weeks\//],
    ['where the water went', 1, ['Where the water went'], /^\/water\/went$/],
    ['the share of the stream', 1, ["The stream's share"], /^\/water\/stream$/],
    ['is it fair', 2, ['Turns', 'Is it fair?'], /^\/turns\/fair$/],
    ['how long it lasts', 2, [WATER, 'How long the water lasts'], /^\/water\/lasts$/],
  ],
})

const ALL: Task[] = [...ATTENDANT, ...MEMBER, ...COMMITTEE, ...TREASURER, ...AUDITOR, ...NEIGHBOUR]

/** Days on which nobody is signed in any more from the day before. */
export const LATER_DAYS: ReadonlySet<Clock> = new Set(['friday', 'next-week'])

/** Later days come last: whoever signs in then ends the sign-ins of before. */
export const TASKS: Task[] = [
  ...ALL.filter(({ clock }) => !LATER_DAYS.has(clock)),
  ...ALL.filter(({ clock }) => LATER_DAYS.has(clock)),
]
