import { existsSync } from 'node:fs'
import { dirname } from 'node:path'
import type { Settings } from './settings.ts'

/** Why a start failed, in a sentence for whoever runs the book; null for a fault of the program itself. */
export function startProblem(error: unknown, { HOST, PORT, DATABASE }: Settings): string | null {
  const code = String((error as { code?: unknown }).code ?? '')
  if (code === 'EADDRINUSE') return `PORT: ${PORT} is in use by another program. Choose another number.`
  if (code === 'EACCES') return `PORT: this account may not use ${PORT}. Choose a number above 1023.`
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND') return `HOST: ${HOST} is not an address of this machine.`
  if (code === 'SQLITE_CANTOPEN' || !existsSync(dirname(DATABASE)))
    return `DATABASE: ${DATABASE} cannot be opened. It must be a file in a folder that exists and that this account may write in.`
  if (code === 'SQLITE_NOTADB') return `DATABASE: ${DATABASE} is not a book. Choose another file.`
  if (code.startsWith('SQLITE_CORRUPT'))
    return `DATABASE: ${DATABASE} is damaged. Keep it as it is and start with the latest copy.`
  if (/^SQLITE_(FULL|IOERR|READONLY)/.test(code))
    return `DATABASE: ${DATABASE} cannot be written. Check that the disk has room and that this account may write the file and its folder.`
  if (code.startsWith('SQLITE_BUSY')) return `DATABASE: ${DATABASE} is held by another program. End that one first.`
  return null
}
