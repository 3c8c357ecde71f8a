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

function readMeFirst(version: string, start: string, tool: string): string {
  return `Commonweir ${version}: the water book, ready to run

1. Copy this whole folder from the stick to the disk of the laptop (a stick does not let programs run).
2. Open the folder on the disk and double-click ${start}. If you are asked, choose to run it.
   A window opens and stays open: it is the book at work. Closing it stops the book.
3. The first page opens by itself; if not, write http://127.0.0.1:3000 into a browser.
   A new book asks for the code that stands in the window.
4. Phones: in the book, under Book, choose "For phones" and scan the square code.

The book itself is in the folder ${BOOK_FOLDER}, beside this one. Nothing else on the laptop is changed.

A copy on the stick:  ${tool} backup PATH-ON-THE-STICK/copy.sqlite
Has anybody changed the file?  ${tool} verify
A newer version: put its folder beside this one and start that. It takes the book over, after a copy of it.

More is in the folder guides.
`
}

const START_SH = `#!/bin/sh
# Starts the water book that lies beside this folder.
here=$(cd "$(dirname "$0")" && pwd)
book=$(dirname "$here")/${BOOK_FOLDER}
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
start "" /b cmd /c "timeout /t 3 /nobreak > nul & start http://127.0.0.1:%PORT%"
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
