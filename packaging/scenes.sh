#!/bin/sh
# Plays in the real window what people do with the program, from scenes/: each
# scene with fresh settings, by keys and by clicks on words that are read off the
# screen. Looks at files, trace and screen, and keeps pictures to be looked at.
# Measures at last how soon the window can be used and the demo job is written.
#   sh packaging/scenes.sh [SCENE...]      such as: lesson killed; without: all
# Environment: BIN, PICTURES (a folder that keeps the pictures), LIMITS=1 to fail
# where it is slower than promised (on a machine that does nothing else).
set -eu
cd "$(dirname "$0")/.."
. packaging/need.sh
need xvfb openbox xdotool imagemagick tesseract-ocr tesseract-ocr-eng libgl1-mesa-dri

bin=$(realpath "${BIN:-build/conewright}")
. packaging/screen.sh
pictures=${PICTURES:-$work/pictures}
mkdir -p "$pictures"
before_stop() { # with an open scene it failed, and this shows where
    [ -z "${scene:-}" ] || import -window root "$pictures/$scene-failed.png" 2>/dev/null || true
}
# Words are read best off a dark ground.
export LANG=en_GB.UTF-8 LIBGL_ALWAYS_SOFTWARE=1 FYNE_THEME=dark
unset WAYLAND_DISPLAY
# What Go keeps stays where it is though each scene has a home of its own.
GOPATH=$(go env GOPATH) GOCACHE=$(go env GOCACHE) GOMODCACHE=$(go env GOMODCACHE)
export GOPATH GOCACHE GOMODCACHE
. packaging/scenes/hands.sh
screen 1320x860

all=$(for file in packaging/scenes/[0-9]-*.sh; do basename "$file" .sh | cut -d - -f 2-; done)
for wanted in ${*:-$all}; do
    now=$(date +%s)
    # shellcheck disable=SC1090
    . packaging/scenes/[0-9]-"$wanted".sh
    echo "scene $wanted: passed, $(($(date +%s) - now)) s"
    scene=
done
