/** One message of a plain phone. */
const MESSAGE_LENGTH = 160

/**
 * A receipt as one message of at most 160 characters; the signature is shortened first. Spaces that may not break are
 * made plain, since a phone sends only 70 characters once a sign is outside its own alphabet (3GPP TS 23.038; memory).
 */
export function messageOf(words: string, signature: string): string {
  const plain = (text: string) => text.replace(/[\u00a0\u202f]/g, ' ').trim()
  const message = plain(words).slice(0, MESSAGE_LENGTH)
  return `${message} ${plain(signature)}`.slice(0, MESSAGE_LENGTH).trim()
}

/** A link that opens the message on a phone, ready to send (RFC 5724); null for a number that nobody can dial. */
export function messageLink(phone: string | null, message: string): string | null {
  const number = phone?.replace(/[\s().-]/g, '') ?? ''
  return /^\+?\d{3,15}$/.test(number) ? `sms:${number}?body=${encodeURIComponent(message)}` : null
}
