# To be sourced: opens the real window on "$job" in a display of its own, of the
# size "$size", and waits until it can be used. Sets $id, its window; $window, its
# process; $work, a folder for temporary files, with the trace in it.
# shellcheck shell=sh
# shellcheck disable=SC2154 # bin, job, size and work are set elsewhere
. packaging/screen.sh
# Own settings, so that a user's are neither read nor written; a locale that
# the toolkit knows, since C makes it warn.
export XDG_CONFIG_HOME="$work/config" LANG="${LANG_WANTED:-en_GB.UTF-8}" LIBGL_ALWAYS_SOFTWARE=1
unset WAYLAND_DISPLAY

# The screen is larger than the window, which gets a title bar.
screen "$((${size%x*} + 40))x$((${size#*x} + 80))"

"$bin" -trace "$work/trace" "$job" >"$work/stdout" 2>"$work/stderr" &
window=$!
started="$started $window"

usable() {
    kill -0 "$window" 2>/dev/null || fail "the window closed by itself"
    grep -q '"ready":true' "$work/trace" 2>/dev/null
}
await 600 "a usable window" usable
id=$(xdotool search --sync --onlyvisible --pid "$window" | head -n 1)
[ -n "$id" ] || fail "there is no visible window"
xdotool windowmove --sync "$id" 0 0 || true
xdotool windowsize "$id" "${size%x*}" "${size#*x}"
