#!/bin/sh
# Unpacks the zip of windows.sh and runs the program under wine: the demo job
# without a window, whose motion must be the bytes that the Linux program writes,
# and then the window.
#   sh packaging/windows-test.sh [PICTURE-FOLDER]
# Environment: BIN, the Linux program to compare with; WINDOW=no leaves the
# window out where wine can't give it OpenGL.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
need wine wine64 gcc-mingw-w64-x86-64-win32 unzip xvfb openbox xdotool imagemagick icoutils libgl1-mesa-dri

bin=${BIN:-build/conewright}
. packaging/screen.sh
pictures=${1:-$work}
mkdir -p "$pictures"
# A prefix of its own, without offers to fetch anything.
export WINEPREFIX="$work/wine" WINEARCH=win64 WINEDEBUG=-all WINEDLLOVERRIDES="mscoree,mshtml,winemenubuilder.exe=" LIBGL_ALWAYS_SOFTWARE=1
before_stop() {
    wineserver=$(command -v wineserver || echo /usr/lib/wine/wineserver)
    "$wineserver" -k 2>/dev/null || true
}

unzip -q dist/conewright-*-windows-amd64.zip -d "$work"
folder=$(echo "$work"/conewright-*-windows-amd64)
cp -r assets/jobs assets/parts "$work/"

# Icon and version, read back from the program by another tool.
for exe in "$folder/conewright.exe" "$folder/conewright-console.exe"; do
    wrestool -l "$exe" | grep -q 'type=group_icon' || fail "$exe has no icon"
    wrestool -x --raw --type=version "$exe" | tr -d '\0' | grep -aq 'ProductVersion' || fail "$exe has no version"
done

screen 1400x900
wineboot -i >"$work/boot.log" 2>&1 || fail "wine doesn't start"
x86_64-w64-mingw32-gcc-win32 -shared -O2 -o "$WINEPREFIX/drive_c/windows/system32/bcryptprimitives.dll" packaging/windows/prng.c -ladvapi32

(cd "$work" && wine "$folder/conewright-console.exe" -job jobs/bollard.json -out out-windows) >"$work/run.log" 2>&1 ||
    fail "the demo job doesn't run"
(cd "$work" && "$OLDPWD/$bin" -job jobs/bollard.json -out out-linux) >"$work/linux.log" 2>&1 || fail "$bin doesn't run"
for file in corrected.gcode dry-run.gcode drawing.svg warped/bollard.stl planar/bollard.gcode; do
    cmp "$work/out-windows/$file" "$work/out-linux/$file" || fail "$file differs from what the Linux program writes"
done
echo "windows test: the demo job ran without a window, with the bytes of the Linux program"

[ "${WINDOW:-yes}" = yes ] || exit 0
(cd "$work" && exec wine "$folder/conewright.exe" -trace trace.log jobs/bollard.json) >"$work/window.log" 2>&1 &
started="$started $!"
usable() { grep -q '"ready":true' "$work/trace.log" 2>/dev/null; }
await 900 "a usable window" usable
sleep 8
id=$(xdotool search --onlyvisible --name 'Conewright' | head -n 1)
[ -n "$id" ] || fail "there is no window"
xdotool windowactivate --sync "$id" || true
look() { photograph "$id" "$pictures/windows-$1.png"; }
look open
echo "windows test: the window opened on the demo job, $colours colours"

# Run, and agree to the cautions: the box has the focus, after it come the buttons.
xdotool key --window "$id" ctrl+r
sleep 3
xdotool key --window "$id" --delay 300 space
sleep 1
look cautions
xdotool key --window "$id" --delay 300 Tab Tab space
await 600 "a run by the window" [ -s "$work/jobs/bollard-run/run.html" ]
sleep 3
look run
cmp "$work/jobs/bollard-run/corrected.gcode" "$work/out-linux/corrected.gcode" || fail "the window's run wrote other motion"
echo "windows test: the window ran the demo job"
