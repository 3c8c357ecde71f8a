import type { Platform } from './platforms.ts'

/** The book lies beside the folder of the program, so that a newer folder put there finds it again. */
const BOOK_FOLDER = 'commonweir-book'

interface StartFile {
  name: string
  text: string
  /** Whether it is to be run. */
  runs: boolean
}

/** What a person clicks, and the page that says how. */
export function startFiles({ name }: Platform, version: string): StartFile[] {
  const windows = name.startsWith('windows')
  const [start, tool] = windows ? ['start.cmd', 'tool.cmd'] : ['start.sh', 'tool.sh']
  return [
    { name: start, text: windows ? crlf(START_CMD) : START_SH, runs: true },
    { name: tool, text: windows ? crlf(TOOL_CMD) : TOOL_SH, runs: true },
    { name: 'READ ME FIRST.txt', text: crlf(readMeFirst(version, start, tool)), runs: false },
  ]
}

/** The page that lies on the stick beside the packed folders. */
export function stickPage(version: string, packed: readonly { name: string; machine: string }[]): string {
  return crlf(`Commonweir ${version}: the water book

1. Choose the file for the laptop:
${packed.map(({ name, machine }) => `     ${name}.zip   ${machine}`).join('\n')}
2. Copy it to the disk of the laptop, into a folder of your own, such as Documents. From the stick itself nothing can be started.
3. Unpack it there: the other mouse button, "Extract all" or "Extract here".
4. Open the folder that comes out of it, read the page READ ME FIRST in it, and double-click start.

In the evening the folder ${BOOK_FOLDER} is copied onto this stick and goes home. That page says how.
`)
}

function readMeFirst(version: string, start: string, tool: string): string {
  const warned =
    start === 'start.cmd'
      ? 'Windows may warn of a program that it does not know: choose "More info", then "Run anyway".\n   If it asks about networks, allow private ones, or phones cannot come in.'
      : 'If you are asked, choose to run it. If a text opens instead: the other mouse button, "Run as a program".'
  return `Commonweir ${version}: the water book, ready to run

1. This folder lies on the disk of the laptop, unpacked, in a place of your own (a stick does not let programs run).
2. Double-click ${start}. ${warned}
   A window opens and stays open: it is the book at work. It stands there in words what to do next.
3. The first page opens by itself; if not, write http://127.0.0.1:3000 into a browser.
   A new book asks for the code that stands in the window.
4. Phones: switch on the hotspot of one phone and join this laptop to it. In the book, under Book, choose "For phones"
   and scan the square code. Before the book is begun, the address for phones stands in the window.
5. In the evening: press Ctrl and C together in the window (or close it) and wait until nothing moves any more.
   Then copy the folder ${BOOK_FOLDER}, which lies beside this one, onto the stick, like any folder. It is the whole book.

Nothing else on the laptop is changed. Everybody's money stands in that folder: the stick belongs in safe hands.

A copy while the book is in use:  ${tool} backup PATH-ON-THE-STICK/copy.sqlite
Has anybody changed the file?  ${tool} verify
A newer version: put its folder beside this one and start that. It takes the book over, after a copy of it.

More is in the folder guides.
`
}

const START_SH = `#!/bin/sh
# Starts the water book that lies beside this folder.
here=$(cd "$(dirname "$0")" && pwd)
book=$(dirname "$here")/${BOOK_FOLDER}
# A double-click that opens no window opens one here, for the code of a new book stands in it.
if [ ! -t 1 ] && [ -n "\${DISPLAY:-}\${WAYLAND_DISPLAY:-}" ] && [ -z "\${COMMONWEIR_WINDOW:-}" ]; then
  export COMMONWEIR_WINDOW=yes
  for terminal in x-terminal-emulator gnome-terminal konsole xfce4-terminal lxterminal xterm; do
    command -v "$terminal" > /dev/null 2>&1 || continue
    case $terminal in
      gnome-terminal) exec gnome-terminal -- "$here/start.sh" ;;
      xfce4-terminal) exec xfce4-terminal -x "$here/start.sh" ;;
      *) exec "$terminal" -e "$here/start.sh" ;;
    esac
  done
fi
wait_and_end() { printf '%s\\n' "$1"; [ -t 0 ] && { printf 'Press Enter to close.'; read -r _; }; exit 1; }
"$here/runtime/node" --version > /dev/null 2>&1 ||
  wait_and_end "Programs may not run from here. Copy this folder to the disk of the laptop and start it there."
mkdir -p "$book" 2> /dev/null && [ -w "$book" ] || wait_and_end "The folder $book cannot be written. Put this folder where you may write."
export NODE_ENV=production HOST="\${HOST:-0.0.0.0}" PORT="\${PORT:-3000}" DATABASE="\${DATABASE:-$book/book.sqlite}"
command -v xdg-open > /dev/null 2>&1 && [ -n "\${DISPLAY:-}\${WAYLAND_DISPLAY:-}" ] &&
  (sleep 3; xdg-open "http://127.0.0.1:$PORT" > /dev/null 2>&1) &
exec "$here/runtime/node" "$here/program/dist/server/main.js"
`

const TOOL_SH = `#!/bin/sh
# tool.sh verify, backup COPY, restore COPY, merge OTHER JOINED NAME: on the book that lies beside this folder.
here=$(cd "$(dirname "$0")" && pwd)
export NODE_ENV=production DATABASE="\${DATABASE:-$(dirname "$here")/${BOOK_FOLDER}/book.sqlite}"
case "$1" in
  verify) file=verify-book ;; backup) file=copy-book ;; restore) file=restore-book ;; merge) file=merge-book ;;
  *) echo "Write one of: verify, backup COPY, restore COPY, merge OTHER JOINED NAME."; exit 1 ;;
esac
shift
exec "$here/runtime/node" "$here/program/dist/server/database/$file.js" "$@"
`

const START_CMD = `@echo off
rem Starts the water book that lies beside this folder.
setlocal
set "HERE=%~dp0"
if not exist "%HERE%runtime\\node.exe" (
  echo Unpack the whole folder first: the other mouse button on the zip file, Extract all. Then start it from there.
  pause
  exit /b 1
)
for %%I in ("%HERE%..") do set "BOOK=%%~fI\\${BOOK_FOLDER}"
if not exist "%BOOK%" mkdir "%BOOK%"
if not exist "%BOOK%" (
  echo The folder %BOOK% cannot be written. Copy this folder to the disk of the laptop and start it there.
  pause
  exit /b 1
)
set NODE_ENV=production
if not defined HOST set HOST=0.0.0.0
if not defined PORT set PORT=3000
if not defined DATABASE set "DATABASE=%BOOK%\\book.sqlite"
start "" /b cmd /c "ping -n 5 127.0.0.1 > nul & start http://127.0.0.1:%PORT%"
"%HERE%runtime\\node.exe" "%HERE%program\\dist\\server\\main.js"
pause
`

const TOOL_CMD = `@echo off
rem tool.cmd verify, backup COPY, restore COPY, merge OTHER JOINED NAME: on the book that lies beside this folder.
setlocal
set "HERE=%~dp0"
for %%I in ("%HERE%..") do set "BOOK=%%~fI\\${BOOK_FOLDER}"
set NODE_ENV=production
if not defined DATABASE set "DATABASE=%BOOK%\\book.sqlite"
set "FILE="
if "%1"=="verify" set FILE=verify-book
if "%1"=="backup" set FILE=copy-book
if "%1"=="restore" set FILE=restore-book
if "%1"=="merge" set FILE=merge-book
if not defined FILE (
  echo Write one of: verify, backup COPY, restore COPY, merge OTHER JOINED NAME.
  exit /b 1
)
"%HERE%runtime\\node.exe" "%HERE%program\\dist\\server\\database\\%FILE%.js" %2 %3 %4
`

function crlf(text: string): string {
  return text.replaceAll('\n', '\r\n')
}
