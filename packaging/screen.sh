# To be sourced: what all scripts share that look at the real window. Sets $work,
# a folder for temporary files; `screen SIZE` opens a display of its own. At the
# end what $started lists is ended and $work removed.
# shellcheck shell=sh
work=$(mktemp -d)
started=

# before_stop is for scripts that have more to end; they define it anew.
before_stop() { :; }

stop() {
    before_stop
    for pid in $started; do
        kill "$pid" 2>/dev/null || true
    done
    wait 2>/dev/null || true
    # Never looks into what is still mounted there.
    rm -rf --one-file-system "$work"
}
trap stop EXIT
trap 'exit 130' INT TERM

# fail MESSAGE ends the script, with what programs said.
fail() {
    echo "$0: $1" >&2
    for said in "$work/stderr" "$work"/*.log; do
        [ ! -s "$said" ] || tail -n 30 "$said" | sed "s|^|$(basename "$said"): |" >&2
    done
    exit 1
}

# await TRIES WHAT COMMAND... waits until a command succeeds, a tenth of a second
# between tries, and fails after so many.
await() {
    tries=$1 what=$2
    shift 2
    until "$@"; do
        tries=$((tries - 1))
        [ $tries -gt 0 ] || fail "never: $what"
        sleep 0.1
    done
}

# screen WIDTHxHEIGHT starts a server that chooses a free display, and a window
# manager, and sets DISPLAY.
screen() {
    Xvfb -displayfd 3 -screen 0 "$1x24" -nolisten tcp >"$work/xvfb.log" 2>&1 3>"$work/display" &
    started="$started $!"
    await 100 "an X server" [ -s "$work/display" ]
    DISPLAY=:$(cat "$work/display")
    export DISPLAY
    openbox >"$work/openbox" 2>&1 & # not shown at a failure: it always misses something
    started="$started $!"
}

# photograph WINDOW FILE takes a picture of a window, which must not be empty,
# and sets $colours, how many it has.
photograph() {
    import -window "$1" "$2"
    colours=$(identify -format %k "$2")
    [ "$colours" -ge 16 ] || fail "the window is empty ($colours colours)"
}
