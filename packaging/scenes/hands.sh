# Sourced by scenes.sh: eyes and hands of one who sits before the window. What is
# clicked is found by its words, read off the screen, and the words come from the
# catalogue: a scene breaks when something can't be seen, not when it moves.
# shellcheck shell=sh
# shellcheck disable=SC2154 # bin, work and pictures are set by scenes.sh

# begin NAME gives the scene a folder, $home, with settings of its own.
begin() {
    scene=$1 lang=en
    home=$work/$scene
    mkdir -p "$home"
    export XDG_CONFIG_HOME="$home/config" HOME="$home"
    autosave=$home/config/conewright/autosave.json
}

# start [FILE...] starts the program in $home and waits until it can be used.
start() {
    rm -f "$work/trace"
    (cd "$home" && exec "$bin" -trace "$work/trace" "$@") >"$work/stdout" 2>"$work/stderr" &
    window=$!
    started="$started $window"
    await 600 "a usable window" usable
    id=$(xdotool search --sync --onlyvisible --pid "$window" | head -n 1)
    [ -n "$id" ] || fail "there is no visible window"
    xdotool windowmove --sync "$id" 20 40 || true
    xdotool windowfocus --sync "$id" || true
}

usable() {
    kill -0 "$window" 2>/dev/null || fail "$scene: the window closed by itself"
    grep -q '"ready":true' "$work/trace" 2>/dev/null
}

# quit closes the window as a user does; nothing must be unsaved.
quit() {
    press ctrl+q
    await 100 "the window closed" ended
    honest
}
ended() { ! kill -0 "$window" 2>/dev/null; }

# honest fails on what the toolkit says when a widget is touched off the event loop.
honest() {
    ! grep -q "Error in Fyne call thread" "$work/stderr" || fail "a widget was touched off the event loop"
}

# text KEY prints what the catalogue says, up to the first place to fill in.
text() {
    said=$(sed -n "s/^ *\"$1\": \"\(.*\)\",\{0,1\}\$/\1/p" "i18n/catalogue/$lang.json" | sed -e 's/{{.*//' -e 's/\\n.*//' -e 's/ [^ A-Za-z0-9]*$//')
    [ -n "$said" ] || fail "the catalogue has no $1"
    echo "$said"
}

# Where words are looked for: less to read is quicker.
region() {
    case $1 in
    route) echo 306x660+0+24 ;;
    bottom) echo 900x46+0+684 ;;
    menu) echo 620x400+0+0 ;;
    lesson) echo 436x660+0+24 ;;
    foot) echo 830x46+205+604 ;; # of a dialog for files
    small) echo 456x176+392+277 ;; # of the question whether to save
    question) echo 580x400+330+165 ;;
    *) echo 1240x730+0+0 ;;
    esac
}

# seen WORDS [REGION [last]] looks once; sets x and y to the middle of the words,
# of several the highest, or the lowest.
seen() {
    kill -0 "$window" 2>/dev/null || fail "$scene: the window closed by itself"
    area=$(region "${2:-all}")
    import -window "$id" -crop "$area" +repage "$work/look.png"
    # Dark letters on light everywhere, as large as print: what is bright and wide,
    # as a button is, keeps its shades, the rest is turned round.
    convert "$work/look.png" -colorspace Gray \( -clone 0 -negate \) \( -clone 0 -threshold 60% \
        -morphology Open Rectangle:6x1 -morphology Open Rectangle:1x6 \
        -morphology Close Rectangle:25x1 -morphology Close Rectangle:1x25 \) \
        -composite -negate -resize 200% "$work/read.png"
    # A question is lines of text; the rest is words here and there.
    case ${2:-} in question | small | foot) layout=6 ;; *) layout=11 ;; esac
    OMP_THREAD_LIMIT=1 tesseract "$work/read.png" "$work/read" --psm $layout tsv >/dev/null 2>&1
    place=$(awk -v phrase="$1" -v which="${3:-first}" -f packaging/scenes/find.awk "$work/read.tsv")
    [ -n "$place" ] || return 1
    corner=${area#*+}
    x=$((${place% *} / 2 + ${corner%+*})) y=$((${place#* } / 2 + ${corner#*+}))
}

# see WORDS [REGION [last]] waits until words are on the screen.
see() {
    till=$(($(date +%s) + 20))
    until seen "$@"; do
        [ "$(date +%s)" -lt $till ] || fail "$scene: “$1” isn't on the screen, but: $(cut -f 12 "$work/read.tsv" | tr -s ' \n' ' ')"
        sleep 0.1
    done
}

# see_held WORDS [REGION [last]] waits as see does, but the program stands still
# while the screen is read: else a run ends on a slow machine before it's found.
see_held() {
    till=$(($(date +%s) + 20)) found=
    until [ -n "$found" ]; do
        [ "$(date +%s)" -lt $till ] || fail "$scene: “$1” isn't on the screen, but: $(cut -f 12 "$work/read.tsv" | tr -s ' \n' ' ')"
        sleep 0.1
        kill -STOP "$window"
        ! seen "$@" || found=yes
        kill -CONT "$window"
    done
}

# click WORDS [REGION [last]] clicks on words.
click() {
    see "$@"
    point "$x" "$y" click 1
}

# point X Y [COMMAND...] moves the pointer there and goes on with it.
point() {
    at="$1 $2"
    shift 2
    # shellcheck disable=SC2086
    xdotool mousemove --window "$id" $at sleep 0.1 "$@" sleep 0.2
}

# open_file NAME opens a file by the keys' dialog and a double click.
open_file() {
    press ctrl+o
    see "$(text open.title)"
    see "$1"
    point "$x" "$y" click --repeat 2 --delay 80 1
}

# press KEY... presses keys one after the other. They go to the server and so to
# the window in front: sent to a window that closes meanwhile they stay down.
press() { xdotool key --delay 120 "$@"; }

# picture NAME keeps a picture of the window, for people to look at.
picture() { photograph "$id" "$pictures/$scene-$1.png"; }

# written FILE: it is there and isn't empty.
written() { [ -s "$1" ]; }

# agree_and_run runs for the first time, over the cautions, by keys alone: the box
# to tick has the focus, after it come the buttons.
agree_and_run() {
    press ctrl+r
    see "$(text cautions.title)" question
    press space Tab Tab space
}

# handle VIEW ITEM sets x and y to the first such handle of the sheet as it opened.
handle() {
    # shellcheck disable=SC2046
    set -- $(grep '"ready":true' "$work/trace" | grep -o "\"view\":\"$1\",\"item\":\"$2\",\"index\":[0-9]*,[^}]*" | head -n 1 |
        tr -c '0-9.\n-' ' ' | awk '{ print $(NF-2), $(NF-1) }')
    [ $# -eq 2 ] || fail "the trace names no such handle"
    x=$1 y=$2
}

# axis JOB prints x of the first axis in a job file.
axis() { tr -d ' \n\t' <"$1" | grep -o '"axis":\[[^],]*' | head -n 1 | cut -d '[' -f 2; }

# compared JOB CONDITION: what its axis, a, is like.
compared() { [ -s "$1" ] && awk "BEGIN { a = $(axis "$1"); exit !($2) }"; }

# box FILE WIDTH DEPTH HEIGHT writes a box as a part: small, so that its run is short.
box() {
    awk -v w="$2" -v d="$3" -v h="$4" 'BEGIN {
        print "solid box"
        side("0 0 0", "0 " d " 0", w " " d " 0", w " 0 0"); side("0 0 " h, w " 0 " h, w " " d " " h, "0 " d " " h)
        side("0 0 0", w " 0 0", w " 0 " h, "0 0 " h); side("0 " d " 0", "0 " d " " h, w " " d " " h, w " " d " 0")
        side("0 0 0", "0 0 " h, "0 " d " " h, "0 " d " 0"); side(w " 0 0", w " " d " 0", w " " d " " h, w " 0 " h)
        print "endsolid box"
    }
    function side(a, b, c, d) { facet(a, b, c); facet(a, c, d) }
    function facet(a, b, c) {
        print "facet normal 0 0 0\nouter loop\nvertex " a "\nvertex " b "\nvertex " c "\nendloop\nendfacet"
    }' >"$1"
}
