const MOST_CHARACTERS = 160
/** Of a script beyond the seven bits, in sixteen bits a letter. */
const MOST_OTHER = 70
/** What is left in each where one text goes as several, since each says which it is. */
const OF_SEVERAL = { [MOST_CHARACTERS]: 153, [MOST_OTHER]: 67 }
const OTHER_SCRIPT = /[^\p{Script=Latin}\P{L}]|[^0-9\P{Nd}]/u

/** Letters and signs that fit seven bits; any other halves a message to 70 characters. */
const PLAIN = /[^ -Z_a-z¡£¤¥§¿ÄÅÆÇÉÑÖØÜßàäåæèéìñòöøùü]/gu

/**
 * The longest of the offered wordings that fits one text message. Source: 3GPP TS 23.038, default alphabet (160 characters
 * of seven bits), from memory; signs outside it are written plainly, so that the message is not cut to 70. Another script is kept as it is.
 */
export function textMessage(wordings: readonly string[]): string {
  if (wordings.some((text) => OTHER_SCRIPT.test(text)))
    return wordings.find((text) => text.length <= MOST_OTHER) ?? wordings.at(-1)!
  const plain = wordings.map(plainText)
  return plain.find((text) => text.length <= MOST_CHARACTERS) ?? plain.at(-1)!.slice(0, MOST_CHARACTERS)
}

/**
 * How long a text is as a message: its signs, how many one message takes, and as how many messages it goes. Source: 3GPP TS 23.038
 * (140 octets, seven bits or sixteen a sign) and 23.040 (six octets of them say which part it is), from memory.
 */
export function messageLength(text: string): { count: number; most: number; parts: number } {
  const most = OTHER_SCRIPT.test(text) || text.replaceAll(PLAIN, '') !== text ? MOST_OTHER : MOST_CHARACTERS
  const parts = text.length <= most ? 1 : Math.ceil(text.length / OF_SEVERAL[most]!)
  return { count: text.length, most, parts }
}

function plainText(words: string): string {
  return words
    .replaceAll('³', '3')
    .replaceAll('²', '2')
    .replaceAll('×', 'x')
    .replaceAll(/[–—−]/g, '-')
    .replaceAll(/[‘’]/g, "'")
    .replaceAll(/[“”]/g, '"')
    .replaceAll(/\s/g, ' ')
    .normalize('NFC')
    .replaceAll(PLAIN, (sign) => sign.normalize('NFD').replaceAll(/[^ -Z_a-z]/g, '') || '?')
}

/** Opens the phone's own message with the words in it; nothing is sent by the book. Source: RFC 5724. */
export function smsLink(phone: string | null, text: string): string {
  return `sms:${(phone ?? '').replaceAll(/[^+\d]/g, '')}?body=${encodeURIComponent(text)}`
}
