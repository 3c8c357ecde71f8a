/**
 * Which pages each role may open, by the roles that open them: written down apart from the program, so that a page that opens itself
 * to somebody else is seen. Money is seen by its owner, the treasurer and the auditor; what the committee decides about (cash, vouchers,
 * closings, hearings) also by the committee; water and turns by all; only who writes a thing meets its form. A relief is also seen by
 * whom it is asked of, and a swap's form by whoever holds the turn: those of the sample are somebody else's.
 */
export const SEEN_BY: Record<string, string> = {
  'committee attendant treasurer auditor neighbour member': `
    /paper/:book/pages/:page /water/lines/sand/:id/:surveyId /water/names/table/:id/:tableId
    / /book /book/phones /crops /crops/figures /crops/lines/crop/:id /crops/lines/gauge-rain/:id
    /crops/lines/tape/:id /crops/lines/weather/:date /crops/list /crops/plans/:id/soil /crops/planting
    /crops/plots/:plotId /crops/season /crops/weather /crops/weather?as=sheet
    /crops/working/crop/:key /crops/working/demand /crops/working/planting /crops?as=hurt /log /log/check
    /log/check?as=joined /log/close /log/days/:on /log/faults /log/lines/closing /log/lines/closing/:id
    /log/lines/drawn.csv /log/lines/drawn/:id /log/lines/fault /log/lines/fault/:id /log/lines/mended
    /log/lines/mended/:id /log/lines/meter /log/lines/meter/:id /log/lines/new-meter /log/lines/new-meter/:id
    /log/lines/night /log/lines/night-meter /log/lines/night-meter/:id /log/lines/night/:id /log/lines/service
    /log/lines/service/:id /log/lines/slip-book /log/lines/slip-book/:id /log/lines/tank /log/lines/tank-day
    /log/lines/tank/:id /log/tests /log/tests?as=night /log/working/pumps /paper /paper/:book /paper/:book/blank.csv
    /paper/lines/:book /paper/setup-sheet /paper/whole /people /people/:id /people/applicants /people/applicants/:id
    /people/complaints/:id /people/complaints/new /people/decisions /people/households /people/kept
    /people/languages /people/languages/:tag /people/languages/:tag/own.json /people/lines/decision
    /people/lines/decision/:id /people/market-weeks /people/marks /people/measures /people/names/handover/:id
    /people/names/matter/:id /people/names/warning/:id /people/plots/:id /people/settle/code
    /people/settle/one-time-codes /people/settle/password /people/sign-ins /people/voice
    /people/voice/:language/:clip.wav /people/voice?as=sheet /people/warnings /practice /sign-in /sign-in/:id
    /sign-in/:id.wav /sign-in?as=example /start /start?as=example /turns /turns/:id /turns/:id.ics /turns/:id.wav
    /turns/:id/slip /turns/:id?as=aloud /turns/:id?as=message /turns/asked /turns/asked?as=free
    /turns/asked?as=swaps /turns/cannot-come.wav /turns/fair /turns/fair?as=line /turns/fair?as=missed /turns/lists
    /turns/lists/:pumpId /turns/plots/:id /turns/plots/:id?as=card /turns/rule
    /turns/weeks/:start /turns/weeks/:start.wav /turns/weeks/:start/compare
    /turns/weeks/:start/sheet /turns/weeks/:start/slips/:day /turns/weeks/:start/twice /turns/weeks/:start?as=aloud
    /turns/working/fair/:id /turns/working/free/:start/:weirId /turns/working/given/:start/:weirId
    /turns/working/left/:start/:weirId /turns/working/measures /turns/working/part/:start/:plotId
    /turns/working/pump/:start/:pumpId /turns/working/why/:start/:plotId /water /water/dry /water/kept /water/lasts
    /water/lines/flow/:id /water/lines/level/:id /water/lines/rain-record/:id /water/lines/wall/:id /water/stream
    /water/walls /water/weirs/:id /water/weirs/:id/board /water/weirs/:id/check /water/went /water/went.csv
    /water/working/chamber/:id /water/working/kept/:id /water/working/lasts/:id /water/working/loss/:id
    /water/working/store/:id /water/working/went/:weirId/:fromOn /works /works/outlets/:id /works/pumps/:id /works?as=tanks`,
  committee: `
    /book/join /crops/lines/crop/:id/correct /crops/list/:key /crops/list/new /crops/new /crops/new?as=beforehand
    /crops/plans/:id/end /crops/settle/cover/:id /crops/settle/demand /crops/settle/months /crops/settle/most-turns
    /crops/settle/mulch /crops/settle/place /crops/settle/rain /crops/settle/salt /crops/settle/second-look
    /crops/settle/watering /crops/tape /crops/weather/gauge /crops/weather/gauge?as=plots
    /crops/weather/list?as=old-rain /paper/many/:list /people/:id/mark /people/:id/mark/:picture
    /people/applicants/new /people/decisions/new /people/languages/:tag/:key /people/lines/decision/:id/correct
    /people/new /people/plots/:id/change /people/plots/:id/change?as=holders /people/plots/:id/change?as=owner
    /people/plots/:id/change?as=split /people/plots/new /people/settle/arrears-rule /people/settle/conduct /people/settle/calendar
    /people/settle/group-language /people/settle/groups /people/settle/language/:id /people/settle/lives-together
    /people/settle/market-week
    /people/settle/market-week/:id /people/settle/marks /people/settle/measure /people/settle/measure/:id
    /people/settle/office-term /people/settle/quorum /people/settle/received-before /people/voice/:language/:clip
    /people/warnings/new /turns/rule/change /turns/settle/class /turns/settle/custom /turns/settle/custom/:id
    /turns/settle/lengths /turns/settle/list/:pumpId /turns/settle/no-turn-day /turns/settle/people-of-plot
    /turns/settle/short-day /turns/settle/sky/:start /turns/settle/take-back/:id /turns/settle/urgent
    /turns/weeks/:start/change /turns/weeks/:start/change?as=add /turns/weeks/:start/change?as=off
    /turns/weeks/:start/changes /water/dry/declare /water/dry/declare/:id
    /water/dry/stage /water/kept/count /water/lines/stage/:id/correct
     /water/settle/drinking-caution /water/settle/how-sure /water/settle/late-rain
    /water/settle/loss/:id /water/settle/plan/:id /water/settle/rest-set-aside /water/settle/shut
    /water/stream/share /water/weirs/:id/chamber /water/weirs/:id/sand /water/weirs/:id/sand?as=rod
    /water/weirs/:id/table /water/weirs/new /works/group /works/outlets/new /works/pumps/new /works/settle/filling
    /works/settle/flow/:id /works/settle/pair /works/settle/place-on-line /works/settle/tank-of-outlet
    /works/settle/tank-use /works/tanks/new`,
  'committee attendant': `
    /log/close?as=new /log/faults/mended /log/faults/new /log/faults/service /log/lines/closing/:id/correct
    /log/lines/drawn/:id/correct /log/lines/fault/:id/correct /log/lines/mended/:id/correct
    /log/lines/meter/:id/correct /log/lines/new-meter/:id/correct /log/lines/night-meter/:id/correct
    /log/lines/night/:id/correct /log/lines/service/:id/correct /log/lines/slip-book/:id/correct
    /log/lines/tank/:id/correct /log/meter /log/round /log/round?as=meter /log/round?as=tank /log/round?as=tank-day
    /log/settle/clash/:kind/:first/:second /log/settle/odd/:id/:code /log/tests/bucket /log/tests/night
    /log/tests/night?as=meter /log/turns/:id /log/turns/:id?as=start /log/water 
    /paper/:book/type /paper/numbers /people/settle/clock /turns/:id/otherwise /turns/:id/otherwise?as=stand-in
    /turns/:id/otherwise?as=swap /turns/settle/pause/:pumpId /water/levels/new /water/lines/level/:id/correct
    /water/stream/flow /water/stream/flow?as=bucket /water/walls/new /water/weirs/:id/refill /works/settle/panels/:id
    /works/settle/sky/:id`,
  treasurer: `
    /money/members/:personId/to-owner /money/members?as=instalments /money/count /money/charges /money/agree/close
    /money/settle/finding /money/fine
    /money/working/fee/:personId/:on/:kind /money/charges?as=fees /money/settle/most-cash /money/other?as=fee
    /money/other /money/pay?as=work /money/settle/work /money/fine?as=missed-turn
    /money/bank-paper /money/move /money/settle/from-before /money/settle/pays-as /money/pay
    /money/members/:personId/instalments /money/pay/:id /paper/numbers?as=receipts
    /money/receipts/:number/mend?as=other-person /money/receipts/:number/mend?as=paper /money/receipts/:number/mend
    /money/relief /money/move?as=pump /money/price/new /money/vouchers/new`,
  'committee treasurer auditor': `
    /money/agree /money/cash-book /money/held /money/names/bank-paper/:id /money/names/closing/:id
    /money/names/count/:id /money/names/missed-turn/:id /money/names/move/:id /money/names/voucher/:id
    /money/price/reckon /money/receipts?as=books /money/report /money/report.wav /money/report?as=aloud
    /money/vouchers /people/:id/change /people/:id/change?as=leaving /people/:id/change?as=sign-in
    /people/names/group/:id`,
  'treasurer auditor': `
    /paper/changes /money/all-lines.csv /money/lines/fine /money/members /money/members/:personId
    /money/members/:personId.csv /money/members/:personId.wav /money/members/:personId?as=aloud /money/members/all
    /money/names/fine/:id /money/names/relief/:id /money/names/to-owner/:id
    /money/receipts /money/receipts.csv /money/receipts/:number /money/working/charge/:id /paper/copies
    /paper/copies/:key`,
  'committee attendant member': `
    /people/settle/count-in /crops/weather/list /crops/weather/new /crops/weather/new/:id /people/settle/hours /people/settle/hours/:id
    /turns/ask /turns/ask?as=free /turns/names/late-excuse/:id`,
  'committee attendant treasurer auditor member': `
    /book/names/:id/withhold /money /money/price?as=work /money/price /money/names/price/:id
    /turns/weeks/:start/publish`,
  'committee attendant treasurer': '/people/devices /people/settle/device',
  'committee attendant treasurer auditor': `
    /book/files /book/files/:table /paper/seals /people/handovers /people/handovers/new`,
}
