/**
 * Which addresses take a form from whom, by the roles that are not refused at the door: written down apart from the program, so that an
 * address that opens to somebody else is seen. What is somebody's own is asked about behind the door (`acts-by-object.test.ts`).
 */
export const WRITTEN_BY: Record<string, string> = {
  'committee attendant treasurer auditor neighbour member': `
    /book /example-book /money/cash-counts/:id/approval /paper/:book/pages /people/codes /people/complaints
    /people/kept/:id/endings /people/one-time-codes /people/passwords /people/sign-ins/:id/endings
    /people/sign-ins/endings /people/warnings/:id/appeal /session /session/codes/:id`,
  'committee attendant treasurer auditor member': `
    /matters/:id/approval /matters/:id/withholdings`,
  'committee attendant treasurer auditor': '/paper/seals /people/handovers /practice/closing /practice/opening',
  'committee attendant treasurer': `
    /people/devices /people/devices/:id/endings`,
  'committee treasurer auditor': `
    /money/missed-turns/:id/appeal /people/persons/:id/leaving /people/persons/:id/roles /people/persons/:id/sign-in`,
  'committee attendant member': `
    /crops/weather /crops/weather/gauges/:id/rain /crops/weather/upload /turns/:id/outcomes /turns/:id/stand-ins
    /turns/:id/swaps /turns/bookings /turns/no-turn-hours /turns/no-turn-hours/:id/withdrawals /turns/requests
    /turns/requests/:id/end /turns/swap-consents/:id/approval /turns/swaps/:id/consents`,
  'committee attendant': `
    /log/abstractions /log/abstractions/:id/corrections /log/abstractions/:id/flags/:code /log/closings
    /log/closings/:id/corrections /log/closings/:id/second-name /log/merged/:kind/:first/:second /log/meter-night-tests
    /log/meter-night-tests/:id/corrections /log/night-tests /log/night-tests/:id/corrections /log/round /log/slip-books
    /log/slip-books/:id/corrections /log/turns/:id/abstraction /log/turns/:id/start /people/clock /turns/:id/excuses
    /turns/:id/moving-up /turns/days/:on/changes /turns/days/:on/closing /turns/pumps/:id/days /turns/pumps/:id/mounts
    /turns/sequence/:pumpId/pauses /turns/sequence/:pumpId/resumption /turns/sequence/:pumpId/served
    /water/bucket-gaugings /water/float-gaugings /water/gaugings/:id/strikes /water/inspections
    /water/inspections/:id/strikes /water/levels /water/levels/:id/corrections /water/weirs/:id/refill-tests
    /works/fault-fixes /works/fault-fixes/:id/corrections /works/faults /works/faults/:id/corrections /works/flow-tests
    /works/meters /works/meters/:id/corrections /works/pump-readings /works/pump-readings/:id/corrections
    /works/services /works/services/:id/corrections /works/tank-days /works/tank-readings
    /works/tank-readings/:id/corrections`,
  'committee treasurer': `
    /money/tariffs/:id/approval`,
  'treasurer auditor': `
    /money/fines/:id/appeal /paper/copies`,
  committee: `
    /crops/crop-plans /crops/crop-plans/:id/corrections /crops/crop-plans/:id/cover /crops/crop-plans/:id/endings
    /crops/list /crops/list/:key/versions /crops/planting/declarations /crops/planting/second-look
    /crops/planting/tapings /crops/settings/coefficients /crops/settings/demand /crops/settings/month-table
    /crops/settings/most-turns /crops/settings/mulch /crops/settings/rain-rule /crops/settings/salt
    /crops/settings/states /crops/weather/gauges /crops/weather/gauges/plots /log/merged
    /log/merged/joinings/:id/approval /log/merged/previews
    /money/closings/:id/approval
    /money/count-decisions/:id/approval /money/reserve-moves/:id/approval /money/vouchers/:id/approval
    /paper/many/:list /people/applicants /people/applicants/:id/end /people/arrears-rules
    /people/complaints/:id/hearings /people/decisions /people/decisions/:id/corrections
    /people/group/settings /people/households /people/market-weeks /people/market-weeks/:id/withdrawal
    /people/marks/struck /people/office-terms /people/persons /people/persons/:id/language /people/persons/:id/mark
    /people/persons/:id/mark/endings /people/plots
    /people/plots/:id/details /people/plots/:id/holders /people/plots/:id/owners /people/plots/:id/splits
    /people/quorums /people/received-before /people/warnings
    /people/warnings/:id/ruling /turns/changes/:id/approval /turns/changes/:id/withdrawals /turns/holder-groups
    /turns/line-positions /turns/no-turn-days /turns/outlet-fillings /turns/outlet-pairs
    /turns/sequence/:pumpId/lists
    /turns/sharing-rule /turns/sharing-rule/classes /turns/sharing-rule/households /turns/short-day-rules
    /turns/tank-outlets /turns/tank-uses /turns/turn-lengths /turns/urgent-quotas /turns/weeks/:start/additions
    /turns/weeks/:start/changes /turns/weeks/:start/choices/:id/approval /turns/weeks/:start/publication
    /turns/weeks/:start/publications/:id/choice /turns/weeks/:start/rule-choices /turns/weeks/:start/skies
    /turns/weeks/:start/withdrawals /water/drinking-caution /water/drought-declarations
    /water/drought-declarations/:id/lifts /water/drought-stages /water/drought-stages/:id/corrections
    /water/outlook-settings /water/rain-records /water/rain-records/:id/strikes /water/reserve
    /water/rest-set-asides
    /water/shut-marks /water/stream-share /water/water-settings /water/weirs /water/weirs/:id/calibration
    /water/weirs/:id/chambers /water/weirs/:id/cover-terms /water/weirs/:id/losses /water/weirs/:id/sections
    /water/weirs/:id/surveys /water/weirs/:id/tables /water/weirs/:id/tables/:tableId/approval /works/outlets
    /works/outlets/:id/flow-tests /works/pumps /works/tanks`,
  treasurer: `
    /money/arrears-moves/of/:personId /money/cash-counts /money/cash-counts/:id/decisions /money/charges
    /money/closings /money/findings /money/fines
    /money/fines/:id/lapse /money/fixed-fees /money/float-limit /money/held-fees /money/incomes /money/kind-payments
    /money/kind-rates /money/missed-turns /money/money-statements /money/moves /money/openings /money/payer-classes
    /money/payments /money/promises/:personId /money/receipt-books /money/receipt-books/:id/receipts
    /money/receipts/:number/move /money/receipts/:number/paper /money/receipts/:number/void /money/reliefs
    /money/reserve-moves /money/tariffs /money/vouchers /money/vouchers/:id/payout`,
}
