/**
 * Which pages each role may open, by the roles that open them: written down apart from the program, so that a page that opens itself
 * to somebody else is seen. Money is seen by its owner, the treasurer and the auditor; what the committee decides about (cash, vouchers,
 * closings, hearings) also by the committee; water and turns by all; only who writes a thing meets its form. A relief is also seen by
 * whom it is asked of, and a swap's form by whoever holds the turn: those of the sample are somebody else's.
 */
export const SEEN_BY: Record<string, string> = {
  'committee attendant treasurer auditor neighbour member': `
    / /book /book/new /book/phones /crops /crops/ /crops/crop-plans/:id /crops/crop-plans/:id/root-zone /crops/list
    /crops/list/:key /crops/needs/:plotId /crops/needs/order /crops/planting /crops/planting/calendar
    /crops/planting/tapings/:id /crops/planting/working /crops/settings /crops/settings/demand/working /crops/weather
    /crops/weather/:date /crops/weather/gauges /crops/weather/gauges/:id /crops/weather/sheet /example-book /log /log/
    /log/abstractions.csv /log/abstractions/:id /log/balance /log/balance.csv /log/balance/stretches/:weirId/:fromOn
    /log/closings /log/closings/:id /log/closings/written /log/flags /log/merged /log/meter-night-tests/:id
    /log/meter-night-tests/written /log/night-tests /log/night-tests/:id /log/night-tests/written /log/slip-books/:id
    /log/slip-books/written /paper /paper/ /paper/:book /paper/:book/blank.csv /paper/book/print
    /paper/book/print/:book /paper/setup-sheet /people /people/ /people/applicants /people/applicants/:id
    /people/codes/new /people/complaints/:id /people/complaints/new /people/decisions /people/decisions/:id
    /people/decisions/written /people/handovers/:id /people/households /people/kept /people/languages /people/market-weeks
    /people/marks/sheet /people/matters/:id /people/one-time-codes/new /people/passwords/new /people/persons/:id
    /people/plots/:id /people/sign-ins /people/warnings /people/warnings/:id /practice /session/codes/:id /session/new
    /turns/:id /turns/:id.ics /turns/:id/message /turns/:id/slip /turns/days /turns/days/:on /turns/fairness
    /turns/fairness/measures /turns/fairness/plots/:id /turns/lines /turns/missed-turns /turns/plots/:id/card
    /turns/plots/:id/record /turns/requests /turns/sequence /turns/sequence/:pumpId /turns/sharing-rule
    /turns/sharing-rule/classes /turns/sharing-rule/households /turns/slots /turns/swaps /turns/tank-turns
    /turns/turn-grounds /turns/weeks /turns/weeks/:start /turns/weeks/:start/comparison
    /turns/weeks/:start/days/:day/slips /turns/weeks/:start/plots/:plotId /turns/weeks/:start/plots/:plotId/left
    /turns/weeks/:start/publications /turns/weeks/:start/pumps/:pumpId /turns/weeks/:start/sheet
    /turns/weeks/:start/weirs/:weirId /turns/weeks/:start/weirs/:weirId/left /turns/weeks/:start/weirs/:weirId/open
    /water /water/ /water/drought-stages /water/gaugings/:id /water/inspections /water/inspections/:id
    /water/levels/:id /water/outlook /water/rain-records/:id /water/reserve /water/stream-share /water/weirs/:id
    /water/weirs/:id/calibration /water/weirs/:id/chamber /water/weirs/:id/cover /water/weirs/:id/loss
    /water/weirs/:id/reserve /water/weirs/:id/storage /water/weirs/:id/table /works/balance/pumps
    /works/fault-fixes/:id /works/fault-fixes/written /works/faults /works/faults/:id /works/faults/written
    /works/flow-tests /works/meters/:id /works/meters/written /works/outlets/:id /works/pump-readings/:id
    /works/pump-readings/written /works/services/:id /works/services/written /works/tank-days /works/tank-readings/:id
    /works/tank-readings/written`,
  committee: `
    /crops/crop-plans/:id/corrections/new /crops/crop-plans/:id/cover/new /crops/crop-plans/:id/endings/new
    /crops/crop-plans/new /crops/list/:key/versions/new /crops/list/new /crops/planting/declarations/new
    /crops/planting/second-look/new /crops/planting/tapings/new /crops/settings/coefficients/new
    /crops/settings/demand/new /crops/settings/month-table/new /crops/settings/most-turns/new
    /crops/settings/mulch/new /crops/settings/rain-rule/new /crops/settings/salt/new /crops/settings/states/new
    /crops/weather/gauges/new /crops/weather/gauges/plots/new /log/merged/new /paper/many/:list/new
    /people/applicants/new /people/arrears-rules/new /people/decisions/:id/corrections/new /people/decisions/new
    /people/group/settings/new /people/households/new
    /people/market-weeks/:id/withdrawal/new /people/market-weeks/new /people/marks/struck/new
    /people/office-terms/new /people/persons/:id/language /people/persons/:id/mark
    /people/persons/:id/mark/:picture /people/persons/new /people/plots/:id/details/new
    /people/plots/:id/holders/new
    /people/plots/:id/owners/new /people/plots/:id/splits/new /people/plots/new /people/quorums/new
    /people/received-before/new /people/warnings/new
    /turns/changes/:id/withdrawals/new /turns/holder-groups/new /turns/line-positions/new /turns/no-turn-days/new
    /turns/outlet-fillings/new /turns/outlet-pairs/new /turns/sequence/:pumpId/lists/new
    /turns/sharing-rule/classes/new /turns/sharing-rule/households/new /turns/sharing-rule/new
    /turns/short-day-rules/new /turns/tank-outlets/new /turns/tank-uses/new /turns/turn-lengths/new
    /turns/urgent-quotas/new /turns/weeks/:start/additions/new /turns/weeks/:start/changes
    /turns/weeks/:start/changes/new /turns/weeks/:start/publication/new /turns/weeks/:start/sky/new
    /turns/weeks/:start/withdrawals/new /water/drinking-caution/new /water/drought-declarations/:id/lifts/new
    /water/drought-declarations/new /water/drought-stages/:id/corrections/new /water/drought-stages/new
    /water/outlook-settings/new /water/rain-records/new /water/reserve/new /water/rest-set-asides/new
    /water/shut-marks/new /water/stream-share/new /water/water-settings/new /water/weirs/:id/chambers/new
    /water/weirs/:id/cover-terms/new /water/weirs/:id/losses/new /water/weirs/:id/sections/new
    /water/weirs/:id/surveys/:surveyId /water/weirs/:id/surveys/new /water/weirs/:id/tables/:tableId
    /water/weirs/:id/tables/new /water/weirs/new /works/outlets/:id/flow-tests/new /works/outlets/new
    /works/pumps/new
    /works/tanks/new`,
  'committee attendant': `
    /log/abstractions/:id/corrections/new /log/abstractions/:id/flags/:code/new /log/abstractions/new
    /log/closings/:id/corrections/new /log/closings/new /log/merged/:kind/:first/:second/new
    /log/meter-night-tests/:id/corrections/new /log/meter-night-tests/new /log/night-tests/:id/corrections/new
    /log/night-tests/new /log/round/new /log/slip-books/:id/corrections/new /log/slip-books/new /log/turns/:id/abstraction/new /log/turns/:id/start/new
    /paper/:book/pages/:page /paper/:book/pages/new /people/clock /turns/:id/excuses/new /turns/:id/stand-ins/new
    /turns/:id/swaps/new
    /turns/pumps/:id/days/new /turns/pumps/:id/mounts/new /turns/sequence/:pumpId/pauses/new /water/bucket-gaugings/new
    /water/float-gaugings/new /water/inspections/new /water/levels/:id/corrections/new /water/levels/new
    /water/weirs/:id/refill-tests/new /works/fault-fixes/:id/corrections/new /works/fault-fixes/new
    /works/faults/:id/corrections/new /works/faults/new /works/flow-tests/new /works/meters/:id/corrections/new
    /works/meters/new /works/pump-readings/:id/corrections/new /works/pump-readings/new
    /works/services/:id/corrections/new /works/services/new /works/tank-days/new
    /works/tank-readings/:id/corrections/new /works/tank-readings/new`,
  treasurer: `
    /money/arrears-moves/of/:personId/new /money/cash-counts/new /money/charges/new /money/closings/new
    /money/findings/new /money/fines/new
    /money/fixed-fees/:personId/:on/:kind /money/fixed-fees/new /money/float-limit/new /money/held-fees/new
    /money/incomes/new /money/kind-payments/new /money/kind-rates/new /money/missed-turns/new
    /money/money-statements/new /money/moves/new /money/openings/new /money/payer-classes/new /money/payments/new
    /money/promises/:personId/new /money/receipt-books/:id/receipts/new /money/receipt-books/new
    /money/receipts/:number/move/new /money/receipts/:number/paper/new /money/receipts/:number/void/new
    /money/reliefs/new /money/reserve-moves/new /money/tariffs/new /money/vouchers/new`,
  'committee treasurer auditor': `
    /money/cash-book /money/cash-counts /money/cash-counts/:id /money/closings /money/closings/:id /money/fee-proposal
    /money/missed-turns/:id /money/receipt-books /money/reconciliation /money/reserve-moves /money/reserve-moves/:id
    /money/season-report /money/vouchers /money/vouchers/:id /people/persons/:id/leaving/new
    /people/persons/:id/roles/new /people/persons/:id/sign-in/new`,
  'treasurer auditor': `
    /money/arrears /money/arrears-moves/:id /money/charges/:id /money/fines /money/fines/:id /money/ledger.csv
    /money/money-statements
    /money/money-statements/:id /money/receipts /money/receipts.csv /money/receipts/:number /money/reliefs/:id
    /money/statements
    /money/statements/:personId /money/statements/:personId.csv /paper/copies /paper/copies/:key`,
  'committee attendant member': `
    /crops/weather/gauges/:id/rain/new /crops/weather/new /crops/weather/upload /turns/bookings/new
    /turns/late-excuses/:id
    /turns/no-turn-hours/:id/withdrawals/new /turns/no-turn-hours/new /turns/requests/new`,
  'committee attendant treasurer auditor member': `
    /matters/:id/withholdings/new /money /money/ /money/kind-rates /money/tariffs /money/tariffs/:id`,
  'committee attendant treasurer': '/people/devices /people/devices/new',
  'committee attendant treasurer auditor': `
    /paper/book/lists /paper/book/lists/:table /paper/seals /people/handovers /people/handovers/new`,
}
