import type { Platform } from './platforms.ts'

/** The book lies beside the folder of the program, so that a newer folder put there finds it again. */
const BOOK_FOLDER = 'commonweir-book'
/** Little room for what is young and for what was let go, as an old laptop has it (docs/decisions.md, Book). npm start says the same. */
const LITTLE_MEMORY = '--max-semi-space-size=8 --heap-growing-percent=40'
/** What the tool beside the start does. */
const TOOL_WORDS = 'verify, backup COPY, restore COPY, merge OTHER JOINED NAME, practice'

/** A command as those write it who have npm, with its name as the first group. */
export const TOLD_BY_NPM = /npm run (verify|backup|restore|merge|practice)(?: --)?/g

/** The tool as it is written in a terminal that was opened in the folder. */
export function toolOf({ name }: Platform): string {
  return name.startsWith('windows') ? 'tool.cmd' : './tool.sh'
}

interface StartFile {
  name: string
  text: string
  /** Whether it is to be run. */
  runs: boolean
}

/** What a person clicks, and the page that says how. */
export function startFiles(platform: Platform, version: string): StartFile[] {
  const windows = platform.name.startsWith('windows')
  return [
    ...(windows
      ? [
          { name: 'start.cmd', text: crlf(START_CMD), runs: true },
          { name: 'tool.cmd', text: crlf(TOOL_CMD), runs: true },
        ]
      : [
          { name: 'start.sh', text: startSh(platform), runs: true },
          { name: 'tool.sh', text: TOOL_SH, runs: true },
        ]),
    { name: 'READ ME FIRST.txt', text: crlf(readMeFirst(version, platform)), runs: false },
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

function readMeFirst(version: string, platform: Platform): string {
  const { start, warned, terminal, ends } = platform.name.startsWith('windows') ? ON_WINDOWS : ON_LINUX
  const tool = toolOf(platform)
  return `Commonweir ${version}: the water book, ready to run

1. This folder lies on the disk of the laptop, unpacked, in a place of your own (a stick does not let programs run).
2. Double-click ${start}. ${warned}
   A window opens and stays open: it is the book at work. It stands there in words what to do next.
3. The first page opens by itself; if not, write http://127.0.0.1:3000 into a browser.
   A new book asks for the code that stands in the window.
4. Phones: switch on the hotspot of one phone and join this laptop to it. In the book, under Book, choose "For phones"
   and scan the square code. Before the book is begun, the address for phones stands in the window.
5. In the evening: press Ctrl and C together in the window and wait until it says that the book is closed.
   ${ends}
   Then copy the folder ${BOOK_FOLDER}, which lies beside this one, onto the stick, like any folder. It is the whole book.

Nothing else on the laptop is changed. Everybody's money stands in that folder: the stick belongs in safe hands.

In a terminal in this folder (${terminal}):
   A copy while the book is in use:  ${tool} backup PATH-ON-THE-STICK/copy.sqlite
   Has anybody changed the file?     ${tool} verify
A newer version: put its folder beside this one and start that. It takes the book over, after a copy of it.

More is in the folder guides.
`
}

const ON_LINUX = {
  start: 'start.sh',
  warned: 'If you are asked, choose to run it. If a text opens instead: the other mouse button, "Run as a program".',
  terminal: 'the other mouse button, "Open in terminal"',
  ends: 'Closing the window ends the book too.',
}
const ON_WINDOWS = {
  start: 'start.cmd',
  warned: `Windows may warn of a program that it does not know: choose "More info", then "Run anyway".
   If it asks about networks, allow private ones, or phones cannot come in.`,
  terminal: 'write cmd into the line that names the folder, and press Enter',
  ends: 'If it asks about a batch job, press Y. Closing the window ends the book too.',
}

function startSh({ name }: Platform): string {
  const kind = name.replace('linux-', '')
  return `#!/bin/sh
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
case $(uname -m) in x86_64 | amd64) machine=x64 ;; aarch64 | arm64) machine=arm64 ;; *) machine="another kind ($(uname -m))" ;; esac
[ "$machine" = ${kind} ] || wait_and_end "This folder is for a machine of the kind ${kind}; this one is $machine. Take the zip for it from the stick."
why=$("$here/runtime/node" --version 2>&1) ||
  wait_and_end "Programs may not run from here, or this machine is too old for it ($why). Copy this folder to the disk of the laptop and start it there."
mkdir -p "$book" 2> /dev/null && [ -w "$book" ] || wait_and_end "The folder $book cannot be written. Put this folder where you may write."
export NODE_ENV=production COMMONWEIR_TOOL=./tool.sh HOST="\${HOST:-0.0.0.0}" PORT="\${PORT:-3000}" DATABASE="\${DATABASE:-$book/book.sqlite}"
command -v xdg-open > /dev/null 2>&1 && [ -n "\${DISPLAY:-}\${WAYLAND_DISPLAY:-}" ] &&
  (sleep 3; xdg-open "http://127.0.0.1:$PORT" > /dev/null 2>&1) &
[ -t 0 ] || exec "$here/runtime/node" ${LITTLE_MEMORY} "$here/program/server/run.js" main
# In a window the book is waited for, so that its last words can be read before the window goes.
"$here/runtime/node" ${LITTLE_MEMORY} "$here/program/server/run.js" main &
book_at_work=$!
trap 'kill -TERM $book_at_work 2> /dev/null' INT TERM HUP
while kill -0 $book_at_work 2> /dev/null; do wait $book_at_work; ended=$?; done
printf 'Press Enter to close.'
read -r _
exit $ended
`
}

const TOOL_SH = `#!/bin/sh
# ${TOOL_WORDS}: on the book that lies beside this folder.
here=$(cd "$(dirname "$0")" && pwd)
export NODE_ENV=production COMMONWEIR_TOOL=./tool.sh DATABASE="\${DATABASE:-$(dirname "$here")/${BOOK_FOLDER}/book.sqlite}"
case "$1" in
  verify) file=verify-book ;; backup) file=copy-book ;; restore) file=restore-book ;;
  merge) file=merge-book ;; practice) file=practice ;;
  *) echo "Write one of: ${TOOL_WORDS}."; exit 1 ;;
esac
shift
exec "$here/runtime/node" "$here/program/server/run.js" $file "$@"
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
set COMMONWEIR_TOOL=tool.cmd
if not defined HOST set HOST=0.0.0.0
if not defined PORT set PORT=3000
if not defined DATABASE set "DATABASE=%BOOK%\\book.sqlite"
start "" /b cmd /c "ping -n 5 127.0.0.1 > nul & start http://127.0.0.1:%PORT%"
"%HERE%runtime\\node.exe" ${LITTLE_MEMORY} "%HERE%program\\server\\run.js" main
pause
`

const TOOL_CMD = `@echo off
rem ${TOOL_WORDS}: on the book that lies beside this folder.
setlocal
set "HERE=%~dp0"
for %%I in ("%HERE%..") do set "BOOK=%%~fI\\${BOOK_FOLDER}"
set NODE_ENV=production
set COMMONWEIR_TOOL=tool.cmd
if not defined DATABASE set "DATABASE=%BOOK%\\book.sqlite"
set "FILE="
if "%~1"=="verify" set FILE=verify-book
if "%~1"=="backup" set FILE=copy-book
if "%~1"=="restore" set FILE=restore-book
if "%~1"=="merge" set FILE=merge-book
if "%~1"=="practice" set FILE=practice
if not defined FILE (
  echo Write one of: ${TOOL_WORDS}.
  exit /b 1
)
set "REST="
:more
shift
if "%~1"=="" goto run
set REST=%REST% %1
goto more
:run
"%HERE%runtime\\node.exe" "%HERE%program\\server\\run.js" %FILE% %REST%
`

function crlf(text: string): string {
  return text.replaceAll('\n', '\r\n')
}
