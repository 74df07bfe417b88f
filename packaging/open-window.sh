# To be sourced: opens the real window on "$job" in a display of its own, of the
# size "$size", and waits until it can be used. Sets $id, its window; $window, its
# process; $work, a folder for temporary files, with the trace in it.
# shellcheck shell=sh
# shellcheck disable=SC2154 # bin, job and size are set by who sources this
work=$(mktemp -d)
# Own settings, so that a user's are neither read nor written; a locale that
# the toolkit knows, since C makes it warn.
export XDG_CONFIG_HOME="$work/config" LANG="${LANG_WANTED:-en_GB.UTF-8}" LIBGL_ALWAYS_SOFTWARE=1
unset WAYLAND_DISPLAY

started=
stop() {
    for pid in $started; do
        kill "$pid" 2>/dev/null || true
    done
    wait 2>/dev/null || true
    rm -rf "$work"
}
trap stop EXIT
trap 'exit 130' INT TERM

fail() {
    echo "$0: $1" >&2
    echo "-- stderr of the window:" >&2
    cat "$work/stderr" >&2 2>/dev/null || true
    exit 1
}

# The server chooses a free display and says which.
# It is larger than the window, which gets a title bar.
Xvfb -displayfd 3 -screen 0 "$((${size%x*} + 40))x$((${size#*x} + 80))x24" -nolisten tcp >"$work/xvfb.log" 2>&1 3>"$work/display" &
started="$started $!"
tries=0
until [ -s "$work/display" ]; do
    tries=$((tries + 1))
    [ $tries -lt 100 ] || fail "Xvfb didn't start: $(cat "$work/xvfb.log")"
    sleep 0.1
done
DISPLAY=:$(cat "$work/display")
export DISPLAY
openbox >"$work/openbox.log" 2>&1 &
started="$started $!"

"$bin" -trace "$work/trace" "$job" >"$work/stdout" 2>"$work/stderr" &
window=$!
started="$started $window"

tries=0
until grep -q '"ready":true' "$work/trace" 2>/dev/null; do
    kill -0 "$window" 2>/dev/null || fail "the window closed by itself"
    tries=$((tries + 1))
    [ $tries -lt 600 ] || fail "the window wasn't ready within 60 s"
    sleep 0.1
done
id=$(xdotool search --sync --onlyvisible --pid "$window" | head -n 1)
[ -n "$id" ] || fail "there is no visible window"
xdotool windowmove --sync "$id" 0 0 || true
xdotool windowsize "$id" "${size%x*}" "${size#*x}"
