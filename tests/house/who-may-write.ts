/**
 * Which addresses take a form from whom, by the roles that are not refused at the door: written down apart from the program, so that an
 * address that opens to somebody else is seen. What is somebody's own is asked about behind the door (`acts-by-object.test.ts`).
 */
export const WRITTEN_BY: Record<string, string> = {
  'committee attendant treasurer auditor neighbour member': `
    /money/names/count/:id /paper/:book/type /people/complaints/new /people/kept/:id/end
    /people/names/warning/:id/appeal /people/settle/code /people/settle/one-time-codes /people/settle/password
    /people/sign-ins/:id/end /people/sign-ins/end /sign-in /sign-in/:id /sign-in/language /start /start?as=example`,
  'committee attendant treasurer auditor member': `
    /book/names/:id /book/names/:id/withhold /book/names/join/:id /turns/names/basis/:start`,
  'committee attendant treasurer auditor': '/paper/seals /people/handovers/new /practice?as=close /practice',
  'committee attendant treasurer': `
    /people/devices/:id/end /people/settle/device`,
  'committee treasurer auditor': `
    /book/names/joined/:id /money/names/missed-turn/:id/appeal /people/:id/change?as=leaving /people/:id/change /people/:id/change?as=sign-in`,
  'committee attendant member': `
    /crops/weather/list /crops/weather/new /crops/weather/new/:id /people/settle/count-in /people/settle/hours
    /people/settle/hours/:id
    /turns/:id/became /turns/:id/otherwise?as=stand-in /turns/:id/otherwise?as=swap /turns/ask /turns/ask?as=free
    /turns/asked/:id/end /turns/asked/swaps/:id /turns/names/swap/:id`,
  'committee attendant': `
    /log/water /log/lines/drawn/:id/correct /log/settle/odd/:id/:code /log/close?as=new
    /log/lines/closing/:id/correct /log/names/closing/:id /log/settle/clash/:kind/:first/:second /log/tests/night?as=meter
    /log/lines/night-meter/:id/correct /log/tests/night /log/lines/night/:id/correct /log/round /paper/numbers
    /log/lines/slip-book/:id/correct /log/turns/:id /log/turns/:id?as=start /people/settle/clock /turns/:id/otherwise
    /turns/:id/moves-up /log/days/:on/less /log/days/:on/close /works/settle/sky/:id /works/settle/panels/:id
    /turns/settle/pause/:pumpId /turns/lists/:pumpId/goes-on /turns/lists/:pumpId/had
    /water/stream/flow?as=bucket /water/stream/flow /water/lines/flow/:id/correct /water/walls/new
    /water/lines/wall/:id/correct /water/levels/new /water/lines/level/:id/correct /water/weirs/:id/refill
    /log/faults/mended /log/lines/mended/:id/correct /log/faults/new /log/lines/fault/:id/correct /log/tests/bucket
    /log/meter /log/lines/new-meter/:id/correct /log/round?as=meter /log/lines/meter/:id/correct
    /log/faults/service /log/lines/service/:id/correct /log/round?as=tank-day /log/round?as=tank
    /log/lines/tank/:id/correct`,
  'committee treasurer': `
    /money/names/price/:id`,
  'treasurer auditor': `
    /money/names/fine/:id/appeal /paper/copies`,
  committee: `
    /book/join /book/join?as=look /crops/lines/crop/:id/correct /crops/list/:key
    /crops/list/new /crops/new /crops/new?as=beforehand /crops/plans/:id/end /crops/settle/cover/:id
    /crops/settle/demand /crops/settle/months /crops/settle/most-turns /crops/settle/mulch /crops/settle/place
    /crops/settle/rain /crops/settle/salt /crops/settle/second-look /crops/settle/watering /crops/tape
    /crops/weather/gauge /crops/weather/gauge?as=plots /crops/weather/list?as=old-rain /money/names/closing/:id
    /money/names/count-words/:id /money/names/move/:id /money/names/voucher/:id /paper/many/:list /people/:id/mark
    /people/:id/mark/end /people/applicants/:id/end /people/applicants/new /people/complaints/:id/hearings
    /people/decisions/new /people/languages/:tag/:key /people/languages/:tag/:key/end
    /people/lines/decision/:id/correct /people/names/warning/:id/ruling /people/new /people/plots/:id/change
    /people/plots/:id/change?as=holders /people/plots/:id/change?as=owner /people/plots/:id/change?as=split
    /people/plots/new /people/settle/arrears-rule /people/settle/conduct /people/settle/groups /people/settle/language/:id
    /people/settle/calendar /people/settle/group-language /people/settle/measure /people/settle/measure/:id /turns/settle/custom /turns/settle/custom/:id
    /people/settle/lives-together /people/settle/market-week /people/settle/market-week/:id /people/settle/marks
    /people/settle/office-term /people/settle/quorum /people/settle/received-before /people/voice/:language/:clip
    /people/warnings/new /turns/names/by-hand/:id /turns/names/choice/:start/:id /turns/rule/change
    /turns/settle/class /turns/settle/lengths /turns/settle/list/:pumpId /turns/settle/no-turn-day
    /turns/settle/people-of-plot /turns/settle/short-day /turns/settle/sky/:start /turns/settle/take-back/:id
    /turns/settle/urgent /turns/weeks/:start/change /turns/weeks/:start/change?as=add
    /turns/weeks/:start/change?as=off /turns/weeks/:start/compare /turns/weeks/:start/publish
    /turns/weeks/:start/twice/:id /water/dry/declare /water/dry/declare/:id /water/dry/stage /water/kept/count
    /water/lines/rain-record/:id/correct /water/lines/stage/:id/correct /water/names/table/:id/:tableId
    /water/settle/drinking-caution /water/settle/how-sure /water/settle/late-rain /water/settle/loss/:id
    /water/settle/plan/:id /water/settle/rest-set-aside /water/settle/shut /water/stream/share
    /water/weirs/:id/chamber /water/weirs/:id/check /water/weirs/:id/sand /water/weirs/:id/sand?as=rod
    /water/weirs/:id/table /water/weirs/new /works/group /works/outlets/new /works/pumps/new /works/settle/filling
    /works/settle/flow/:id /works/settle/pair /works/settle/place-on-line /works/settle/tank-of-outlet
    /works/settle/tank-use /works/tanks/new`,
  treasurer: `
    /money/members/:personId/to-owner /money/members?as=instalments /money/count /money/names/count/:id/words /money/charges
    /money/agree/close /money/settle/finding /money/fine
    /money/names/fine/:id/back /money/charges?as=fees /money/settle/most-cash /money/other?as=fee /money/other /money/pay?as=work
    /money/settle/work /money/fine?as=missed-turn /money/bank-paper /money/move /money/settle/from-before /money/settle/pays-as
    /money/pay /money/members/:personId/instalments /paper/numbers?as=receipts /money/pay/:id
    /money/receipts/:number/mend?as=other-person /money/receipts/:number/mend?as=paper /money/receipts/:number/mend /money/relief
    /money/move?as=pump /money/price/new /money/vouchers/new /money/names/voucher/:id/pay`,
}
