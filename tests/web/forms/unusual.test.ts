import { globSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { number, optional } from '../../../server/web/forms/fields.ts'
import { defineForm, readForm } from '../../../server/web/forms/forms.ts'
import { USUAL, type UsualFigure } from '../../../server/web/forms/usual.ts'
import { openValley } from '../../support/valley.ts'

/** Figures that no bound asks about, each for its reason; `file: field`. */
const UNASKED: Record<string, string> = {
  'a number on a plate, a slip, a receipt or in a list': `
    fees/receipt: firstNumber lastNumber number; abstractions/draw: slipNo; abstractions/closing: slip; works/pump: number meterDigits;
    works/tank: number; water/sand: number; crops/weather: number; people/person: number; people/office: memberA memberB; people/plot: number; rotation/constraint: position;
    works/meter: digits; abstractions/draw: newDigits; water/outlook: seed; rotation/rule: place untilStage; water/drought: severity`,
  'a part of a hundred, whose own limits are the plausible ones': `
    fees/tariff: noShowPercent; fees/proposal: flatPercent; water/drought: part; water/cover: leakShare; water/stream: warnPart;
    crops/setting: percent; crops/plan: percent; rotation/rule: weight minimum spare excusedCap; crops/crop: depletionFraction yieldResponse;
    water/stream: surfaceFactor; crops/demand: factor dryAir`,
  'kept, flagged and listed under what to look at again: held against the last reading, the pump and the hours': `
    abstractions/draw: reading amount; abstractions/log: meterM3; abstractions/night-test: nightFields; abstractions/closing: meter;
    works/pump: meter; works/meter: reading`,
  'an hour, a count of minutes, days or turns whose own limits are narrow': `
    works/pump: firstHour lastHour outletsAtOnce; rotation/constraint: minutes shortestMinutes longestMinutes changeoverMinutes;
    rotation/turn-list: perDay; rotation/rule: excusedDays; rotation/request: perMonth; fees/voucher: stipendDays; fees/arrears: times;
    rotation/fairness: hours draining; water/users: rememberedWeeks; water/drought: belowCoverDays; crops/setting: threshold wettingDays wettingMm;
    water/outlook: seasonsOfTen; people/decision: votes; people/measure: size; people/applicant: area equal persons share;
    people/warning: lapseDays percent warningsBefore wordsBefore`,
  'a height above a mark of the group’s own choice': `
    water/drought: belowLevel; water/stream: shutBelowLevel; water/sand: crestLevel offTakeLevel markLevel; people/group: elevation`,
  'beside the other figures of one reckoning, shown with its working before anything is settled': `
    fees/proposal: m3; rotation/rule: areaCap; water/cover: rechargePerMm; water/sand: slots tail; water/stream: permit length`,
  'asked about once it is put into m², a guess by paces always': 'people/measure: ownArea',
  'asked about once it is put into m³, or as the floor of the tank that follows':
    'people/plot: volume; paper/tank-day: filled letOut; rotation/tank-turn: kept; water/cover: weeklyPlan; works/tank: holds; rotation/typed-volume.ts: volumeField',
  'held against the thing itself: a gale is asked about, a tank has a rim, a pump a day’s plan':
    'crops/weather: wind; works/tank: level; rotation/day: gave',
}

interface Call {
  place: string
  isAsked: boolean
}

/** Every field of a figure in the forms of the server: where it stands, and whether it names what the figure is. */
function figureFields(): Call[] {
  return globSync('server/{abstractions,crops,fees,home,paper,people,rotation,water,works}/**/*.ts').flatMap((file) => {
    const text = readFileSync(file, 'utf8')
    const room = file.split('/').slice(1, 3).join('/')
    return [...text.matchAll(/(?<![.\w])(?:number|whole|area)\((?=\{|[A-Z])/g)].map(({ index, 0: call }) => {
      const name = /(\w+)[\w`$[\]{}]*(?:: | = \(\) => |\(\(\) => | = )[^:=]*$/.exec(
        text.slice(Math.max(0, index - 90), index),
      )?.[1]
      let end = index + call.length
      for (let depth = 1; depth > 0; end++) depth += { '(': 1, ')': -1, '{': 1, '}': -1 }[text[end]!] ?? 0
      return {
        place: `${room}: ${name}`,
        isAsked: /(\}|SECONDS|VOLUME|\]|\w), /.test(text.slice(index, end).replace(/\{[^}]*\}/, '{}')),
      }
    })
  })
}

describe('a figure that is rare', () => {
  it('is asked about in every form, or stands here with the reason why not', () => {
    const reasoned = Object.values(UNASKED).flatMap((places) =>
      places.split(';').flatMap((group) => {
        const [room, names] = group.trim().split(': ')
        return names!
          .trim()
          .split(/\s+/)
          .map((name) => `${room}: ${name}`)
      }),
    )
    const fields = figureFields()
    expect(fields.length).toBeGreaterThan(120)
    const unasked = [...new Set(fields.filter(({ isAsked }) => !isAsked).map(({ place }) => place))]
    expect(unasked.toSorted()).toEqual([...new Set(reasoned)].toSorted())
  })

  it.each(Object.keys(USUAL) as UsualFigure[])(
    '%s: is kept as typed, asked about, and taken with its cross',
    (figure) => {
      const { least, most } = USUAL[figure]
      const form = defineForm('any', {
        figure: optional(number({ min: -1e9, max: 1e9 }, figure)),
        other: number({ min: 0, max: 9 }),
      })
      const read = (typed: string, sure?: string | string[]) =>
        readForm(form, { figure: typed, other: '1', _sure: sure })
      for (const usual of [least, most, '']) expect(read(String(usual)).ok).toBe(true)
      for (const rare of [least - 0.01, most + 0.01].map((value) => value.toFixed(2))) {
        const asked = read(rare)
        expect(asked.ok).toBe(false)
        expect(asked.values.figure).toBe(rare)
        expect(asked.errors.figure).toMatchObject({
          asks: true,
          values: { bound: Number(rare) < least ? least : most },
        })
        expect(read(rare, `figure:${rare}`)).toMatchObject({ ok: true, data: { figure: Number(rare) } })
        expect(read(rare, ['other:1', `figure:${rare}`]).ok).toBe(true)
        // A cross is for the figure beside which it stood.
        expect(read(`${rare}1`, `figure:${rare}`).ok).toBe(false)
      }
      const used = globSync('server/**/*.ts').some(
        (file) => !file.endsWith('/usual.ts') && readFileSync(file, 'utf8').includes(`'${figure}'`),
      )
      expect(used).toBe(true)
    },
  )

  it('on a page: 2,000 mm of rain in a day wait for a cross, also where something else has to be mended first', async () => {
    const valley = await openValley()
    const dovi = await valley.signIn('dovi')
    const fields = { onDate: '2026-11-24', rainMm: '2000', reason: 'Read again.' }
    const asked = await dovi.fill('/crops/weather/new', fields)
    expect(asked.status).toBe(422)
    expect(asked.words).toContain(
      '2,000 mm of rain in one day? More than 300 is rare; the most that was ever measured is 1,825 mm',
    )
    expect(asked.html.querySelector('#rainMm')!.getAttribute('value')).toBe('2000')
    const other = await dovi.send(asked, { _sure: 'rainMm:2000', tmaxC: 'hot' })
    expect(other.status).toBe(422)
    expect(other.html.querySelector('[name=_sure]')!.hasAttribute('checked')).toBe(true)
    const taken = await dovi.send(other, { tmaxC: '28' })
    expect(taken.path).toBe('/crops/lines/weather/2026-11-24')
    expect(taken.words).toContain('2,000')
  })

  it('on a page of paper and on the round waits for its cross too', async () => {
    const valley = await openValley()
    const dovi = await valley.signIn('dovi')
    const round = await dovi.open('/log/round?moment=dawn')
    const weir = round.html.querySelector('input[id^=weir-]')!.getAttribute('name')!
    const asked = await dovi.send(round, { [weir]: '1200' })
    expect(asked.words).toContain('1,200 is more than 1,000')
    expect(asked.html.querySelector(`[id="${weir}-sure"]`)!.getAttribute('value')).toBe('depth:1200')
    const again = await dovi.send(asked, { _sure: 'depth:1200' })
    expect(again.words).not.toContain('Is that so?')
  })
})
