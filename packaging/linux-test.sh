#!/bin/sh
# Installs the .deb of linux.sh in a bare Debian 12 and starts the program there
# as a desktop would: from its desktop file, and by opening a job. As root.
#   sh packaging/linux-test.sh [PICTURE-FOLDER]
# Environment: BARE, a folder that keeps the bare Debian for the next time.
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
need mmdebstrap xvfb openbox xdotool imagemagick x11-utils

deb=$(ls dist/conewright_*_"$(dpkg --print-architecture)".deb)
. packaging/screen.sh
pictures=${1:-$work}
mkdir -p "$pictures"
bare=${BARE:-$work/bare}
root=$work/root
mkdir "$root"
before_stop() { umount "$root/dev" "$root/proc" 2>/dev/null || true; }

[ -d "$bare/usr" ] || mmdebstrap --quiet --variant=minbase bookworm "$bare"
cp -a "$bare/." "$root/"
mount -t proc proc "$root/proc"
mount --bind /dev "$root/dev"
cp /etc/resolv.conf "$root/etc/"
inside() { env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LANG=C.UTF-8 DEBIAN_FRONTEND=noninteractive \
    DISPLAY="${DISPLAY:-}" LIBGL_ALWAYS_SOFTWARE=1 chroot "$root" "$@"; }

# Only what the package itself asks for, so that a forgotten dependency shows.
cp "$deb" "$root/root/conewright.deb"
inside apt-get -q update >"$work/update.log" 2>&1 || fail "apt-get update"
inside apt-get -q install -y --no-install-recommends /root/conewright.deb >"$work/install.log" 2>&1 || fail "the .deb doesn't install"
echo "linux test: installed, with $(grep -c '^Setting up' "$work/install.log") packages"

mkdir "$root/root/demo"
cp -r assets/jobs assets/parts "$root/root/demo/"
inside conewright -job /root/demo/jobs/bollard.json -out /root/out >"$work/run.log" 2>&1 || fail "the demo job doesn't run"
[ -s "$root/root/out/corrected.gcode" ] || fail "the demo job wrote no motion file"
echo "linux test: the demo job ran without a window"

# A desktop's part in it: launching, and kinds of files.
inside apt-get -q install -y --no-install-recommends libglib2.0-bin shared-mime-info desktop-file-utils \
    >"$work/desktop.log" 2>&1 || fail "installing a desktop's tools"
kind() { inside gio info -a standard::content-type "$1" | sed -n 's/.*content-type: //p'; }
printf '{"a": 1}\n' >"$root/root/other.json"
[ "$(kind /root/demo/jobs/bollard.json)" = application/x-conewright-job+json ] || fail "a job isn't known as one"
[ "$(kind /root/other.json)" = application/json ] || fail "any JSON file is taken for a job"
inside gio mime application/x-conewright-job+json | grep -q conewright.desktop || fail "jobs don't open with the program"

screen 1400x900

# window NAME COMMAND...: a window of the program appears and isn't empty.
window() {
    name=$1
    shift
    inside "$@" >"$work/$name.log" 2>&1 || fail "$name: can't be started"
    id=$(timeout 90 xdotool search --sync --onlyvisible --class conewright | head -n 1) || true
    [ -n "$id" ] || fail "$name: there is no window of class conewright"
    started="$started $(xdotool getwindowpid "$id")"
    sleep 6
    photograph "$id" "$pictures/$name.png"
    xprop -id "$id" WM_CLASS | grep -q '"Conewright"' || fail "$name: the class isn't the one of the desktop file"
    echo "linux test: $name: $colours colours"
    kill "$(xdotool getwindowpid "$id")"
    await 100 "$name: the window closed" gone
}
gone() { ! xdotool search --onlyvisible --class conewright >/dev/null 2>&1; }
window from-desktop-file gio launch /usr/share/applications/conewright.desktop
window from-job gio open /root/demo/jobs/bollard.json

inside apt-get -q purge -y conewright >"$work/purge.log" 2>&1 || fail "the package can't be removed"
left=$(find "$root/usr" -name '*conewright*' | head -n 3)
[ -z "$left" ] || fail "removing leaves $left"
echo "linux test: passed"
