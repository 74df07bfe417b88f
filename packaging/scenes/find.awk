# Finds a phrase among the words that tesseract saw (its TSV: a word a row, with
# its line and box) and prints the middle of its box, in pixels of the picture.
# -v phrase=WORDS -v which=first|last: of several places, the highest or lowest.
# Blanks and dots over letters don't count: the reader, who knows English, misses
# some, and sees some where there are none.
BEGIN { FS = "\t"; phrase = plain(phrase) }
NR > 1 && $12 ~ /[^ ]/ {
    line = $3 "/" $4 "/" $5
    if (line != last) { text = ""; n = 0; last = line }
    n++
    from[n] = length(text) + 1
    text = text plain($12)
    to[n] = length(text)
    left[n] = $7; right[n] = $7 + $9; top[n] = $8; bottom[n] = $8 + $10
    look()
}

# look is called at each word, so that a phrase counts as soon as it is whole. It
# begins where a word does or after a mark, and ends where one does or before one.
function look(    at, i, first, y) {
    at = index(text, phrase)
    if (!at || substr(text, at + length(phrase), 1) ~ /[A-Za-z0-9]/) return
    for (i = 1; i <= n; i++) {
        if (from[i] <= at) first = i
    }
    if (from[first] < at && substr(text, at - 1, 1) ~ /[A-Za-z0-9]/) return
    y = (top[first] + bottom[n]) / 2
    if (found == "" || (which == "last" ? y > best : y < best)) {
        best = y
        found = int((left[first] + right[n]) / 2) " " int(y)
    }
    text = ""; n = 0
}
function plain(words) {
    gsub(/ /, "", words)
    gsub(/ä/, "a", words); gsub(/ö/, "o", words); gsub(/ü/, "u", words)
    gsub(/Ä/, "A", words); gsub(/Ö/, "O", words); gsub(/Ü/, "U", words)
    return words
}

END { print found }
