# The language changes at once, and is remembered at the next start.
begin language
cp assets/parts/hopper.stl "$home/funnel.stl"
start funnel.stl
see "$(text menu.edit)" menu
click "$(text menu.view)" menu
click "$(text menu.language)" menu
picture 1-languages
click Deutsch
lang=de
see "$(text menu.file)" menu
see "$(text menu.edit)" menu
see "$(text route.machine)" route
picture 2-german
quit

start funnel.stl
see "$(text menu.edit)" menu
see "$(text ideas.ask)" route
picture 3-german-again
grep -q '"language": "de"' "$home/config/conewright/settings.json" || fail "the language isn't remembered"
quit
