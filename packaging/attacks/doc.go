// Package attacks gives the built program what an outsider would: files that
// move the frame, words that don't belong, folders of other people, kills and
// bombs. Nothing may be lost and no machine misled. It imports nothing of the
// program.
package attacks
