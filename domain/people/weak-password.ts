/** Signs that are put for letters, so that `p4ssw0rd` is read as the word that it is. */
const READ_AS: Record<string, string> = { 0: 'o', 1: 'i', 3: 'e', 4: 'a', 5: 's', 7: 't', '@': 'a', $: 's', '!': 'i' }
/** So many signs more make a known word no secret: a year, a stroke, a sign at the end. Own choice, no source. */
const MOST_ADDED = 4
const ROWS = [
  '01234567890123456789',
  '98765432109876543210',
  'abcdefghijklmnopqrstuvwxyz',
  'zyxwvutsrqponmlkjihgfedcba',
]

/**
 * Why a password is guessed first: one sign over and over or a row (`row`), one of `listed` or one of the commonest words with an ending
 * (`common`), or a name that everybody here knows (`known-name`), such as the group's or one's own. Null for any other. NIST SP 800-63B, 5.1.1.2
 * asks for such a list and for words of the service and the person (from memory).
 */
export function weakness(
  password: string,
  names: readonly string[],
  listed: ReadonlySet<string>,
): 'row' | 'common' | 'known-name' | null {
  const typed = password.toLowerCase().replace(/\s/g, '')
  if (isRow(typed)) return 'row'
  if (listed.has(typed)) return 'common'
  for (const read of [typed, [...typed].map((sign) => READ_AS[sign] ?? sign).join('')]) {
    if (isOf(read, (word) => COMMON_STEMS.has(word))) return 'common'
    const known = new Set(names.flatMap((name) => [name, ...name.split(/\s+/)]).map(bare))
    if (isOf(read, (word) => word.length > 2 && known.has(word))) return 'known-name'
  }
  return null
}

const bare = (text: string) => text.toLowerCase().replace(/\s/g, '')

/** One sign, or a group of up to four, over and over; or signs that follow each other. */
function isRow(typed: string): boolean {
  const isOver = (length: number) => typed === typed.slice(0, length).repeat(typed.length).slice(0, typed.length)
  return [1, 2, 3, 4].some(isOver) || ROWS.some((row) => row.includes(typed))
}

/** Whether such a word is nearly all of it, also said twice. */
function isOf(typed: string, isKnown: (word: string) => boolean): boolean {
  for (let start = 0; start <= MOST_ADDED; start++)
    for (let end = typed.length; end >= typed.length - (MOST_ADDED - start); end--) {
      const word = typed.slice(start, end)
      const half = word.slice(0, word.length / 2)
      if (isKnown(word) || (word === half + half && isKnown(half))) return true
    }
  return false
}

/**
 * What is tried first by whoever guesses: words and rows of keys that head the public lists of passwords that were found out. Put
 * together from general knowledge of such lists, without those under eight signs that no ending makes longer. No single source.
 */
const COMMON_STEMS: ReadonlySet<string> = new Set(
  `password passwords passwort passwrd passw0rd pass passphrase passcode mypassword thepassword newpassword yourpassword
  changeme changeit change changethis default temporary temp temppass guest guestguest visitor user username login logmein letmein letmeinnow
  openup opensesame sesame secret secrets mysecret topsecret private access accessme allow enter entry welcome welcomeback hello
  hellohello helloworld hallo hithere goodbye goodmorning admin administrator administrador root rootroot superuser master
  mastermaster manager operator system sysadmin server computer internet network wireless router mobile phone telephone
  qwerty qwertyu qwertyui qwertyuiop qwertz qwertzui azerty azertyui asdf asdfasdf asdfgh asdfghjk asdfghjkl zxcv zxcvbn zxcvbnm
  qazwsx qazwsxedc wsxedc qweasd qweasdzxc qwer qwerqwer qweqwe asdasd zxczxc poiuytrewq lkjhgfdsa mnbvcxz abcd abcdef abcdefg
  abcdefgh abcdefghi abcabc abc test testing testtest tester demo sample example trial trustno
  trustme nothing whatever something anything everything blahblah asdfjkl none noone nobody somebody
  iloveyou ilovegod iloveme ilovemyself loveyou loveme lovelove lovely lover forever together always mylove truelove love
  sweetheart sweetie honey darling babygirl babyboy baby beautiful pretty gorgeous cutie angel angels princess prince queen king
  kingking princesa amor amores teamo tequiero corazon bonita hermosa estrella dios jesus jesuschrist christ godisgood godisgreat
  godbless blessed blessing praise hallelujah heaven faith grace church bible allah bismillah inshallah mashallah ganesh krishna
  family mother father mommy daddy mama papa brother sister children daughter grandma friend friends bestfriend friendship
  sunshine sunflower sunrise sunset moonlight rainbow butterfly flower flowers blossom rose roses summer winter spring autumn
  january february march april june july august september october november december monday tuesday wednesday thursday friday
  saturday sunday weekend birthday christmas holiday happy happyday happiness smile smiley laughing freedom liberty peace hope
  football soccer basketball baseball volleyball cricket rugby hockey tennis golf runner running champion winner number numberone
  monkey dragon tiger lion elephant leopard panther eagle falcon horse chicken goat cow bull donkey rabbit kitten kitty puppy doggy
  dolphin snake spider scorpion wolf bear shadow phantom ghost killer hunter ranger warrior soldier captain pirate ninja knight
  wizard magic magical mystery danger thunder lightning storm hurricane fire water waters river stream rain garden farmer farming
  farm maize mango banana orange apple cherry strawberry chocolate cookie cookies sugar coffee pepper ginger cinnamon vanilla bread
  money dollar dollars millionaire rich bank business company office work worker school student teacher college university doctor
  music guitar piano dance dancer singer movie movies game games gamer player playing lucky luck fortune diamond silver gold golden
  crystal purple yellow green orange pink blue black white red power powerful strong superstar super hero superman batman spiderman
  america africa europe asia india china brazil mexico kenya nigeria london paris madrid country village home house mountain valley
  mustang corvette harley truck engine driver motor turbo maverick cowboy cowboys ranger rangers yankees liverpool arsenal chelsea
  barcelona michael michelle jessica jennifer ashley nicole daniel thomas robert charlie andrew joshua matthew anthony jonathan
  alexander william richard george patrick maria marie anna mary john joseph david moses abraham samuel ibrahim mohammed muhammad
  fatima amina aisha grace joyce mercy esther elizabeth victoria samantha amanda melissa stephanie taylor jordan
  maggie buster bailey ginger hannah sophie jasmine tigger peanut pumpkin snoopy oscar rocky max buddy lucky toyota
  karibu kaboom bigboy bigdaddy sexy hottie badboy badgirl gangster fuckyou fuckoff asshole bitch shit damn
  meter pump weir sand board book waterbook commonweir committee treasurer attendant auditor member neighbour`.split(
    /\s+/,
  ),
)
