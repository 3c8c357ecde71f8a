import { toCardinal as english } from 'n2words/en-GB'
import { toCardinal as portuguese } from 'n2words/pt-PT'
import { toCardinal as swahili } from 'n2words/sw-KE'
import { expect, it } from 'vitest'
import { numberClips } from '../../../domain/people/voice/number.ts'

/** Numbers in words as another program writes them, and what it calls the clips that are no round number. */
const LANGUAGES = [
  ['en', (n: number) => english(n).replaceAll('-', ' '), { and: 'and', thousand: 'thousand', n100more: '' }],
  // Whole hundreds after thousands take an "e": C. Cunha and L. Cintra, Nova Gramática do Português Contemporâneo (from memory).
  [
    'pt',
    (n: number) => portuguese(n).replace(/mil (\S+[ei]ntos)$/, 'mil e $1'),
    { and: 'e', thousand: 'mil', n100more: 'cento' },
  ],
  // A hundred after thousands is left bare there (elfu tano mia); with its one it is as well said (elfu tano mia moja).
  ['sw', (n: number) => swahili(n).replace(/(elfu .*mia)$/, '$1 moja'), { and: 'na', thousand: 'elfu', n100more: '' }],
] as const

it.each(LANGUAGES)('the clips of a number from 0 to 9,999 are its words, in %s', (language, spelled, own) => {
  const words = (clip: string) => own[clip as keyof typeof own] ?? spelled(Number(clip.slice(1)))
  const asSaid = (n: number) => numberClips(n, language)!.map(words).join(' ')
  const wrong = Array.from({ length: 10_000 }, (_, n) => [spelled(n), asSaid(n)]).filter(([a, b]) => a !== b)
  expect(wrong.slice(0, 20)).toEqual([])
})

it('says halves, thousands above nine, and nothing that it has no clips for', () => {
  expect(numberClips(0.5, 'en')).toEqual(['onlyHalf'])
  expect(numberClips(21.5, 'en')).toEqual(['n20', 'n1', 'half'])
  expect(numberClips(12_340, 'en')).toEqual(['n12', 'thousand', 'n300', 'and', 'n40'])
  expect(numberClips(10_000, 'en')).toEqual(['n10', 'thousand'])
  expect(numberClips(999_999, 'en')).toEqual(
    ['n900', 'and', 'n90', 'n9', 'thousand', 'n900', 'and', 'n90', 'n9'], // and no more than this
  )
  expect(numberClips(12_000, 'sw')).toEqual(['thousand', 'n12'])
  expect([-1, 0.25, 1_000_000, Number.NaN].map((n) => numberClips(n, 'en'))).toEqual([null, null, null, null])
})
