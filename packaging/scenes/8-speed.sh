# Not a play: how soon the window can be used after a cold start, and how soon
# after the click on Run the demo job's files lie there. Medians of several.
begin speed
cp -r assets/jobs assets/parts "$home/"
runs=5
for run in $(seq $runs); do
    start jobs/bollard.json
    sed -n 's/.*"t":\([0-9.]*\),"ready":true.*/\1/p' "$work/trace" >>"$home/starts"
    [ "$run" -eq $runs ] || quit
done
out=$home/jobs/bollard-run
agree_and_run
await 600 "a finished run" written "$out/run.html"
for run in $(seq $runs); do
    sleep 1
    rm "$out/corrected.gcode" "$out/run.html"
    clicked=$(date +%s%N)
    press ctrl+r
    until [ -s "$out/corrected.gcode" ] && [ -s "$out/run.html" ]; do
        [ $(($(date +%s%N) - clicked)) -lt 60000000000 ] || fail "no run within a minute"
        sleep 0.02
    done
    awk "BEGIN { print ($(date +%s%N) - $clicked) / 1e9 }" >>"$home/runs"
done
quit
median() { sort -n "$1" | sed -n "$(((runs + 1) / 2))p"; }
limit() { # WHAT FILE SECONDS
    echo "  $1: median $(median "$2") s of $(sort -n "$2" | tr '\n' ' ')(promised $3 s; load $(cut -d ' ' -f 1 /proc/loadavg))"
    [ -z "${LIMITS:-}" ] || awk "BEGIN { exit !($(median "$2") <= $3) }" || fail "$1: too slow"
}
limit "cold start to a usable window" "$home/starts" 1.5
limit "demo job from the key to the written files" "$home/runs" 5
