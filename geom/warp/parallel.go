package warp

import "conewright/geom/parallel"

// spanLen is how many elements a goroutine takes at once: enough to hide the
// cost of handing out, few enough to share evenly and to notice a cancel.
const spanLen = 8192

// inSpans runs work over the spans of 0..n, several at a time, and returns its
// results in the order of the spans.
func inSpans[T any](n int, work func(lo, hi int) T) []T {
	results := make([]T, parallel.SpanCount(n, spanLen))
	parallel.Spans(n, spanLen, func(s, lo, hi int) { results[s] = work(lo, hi) })
	return results
}
