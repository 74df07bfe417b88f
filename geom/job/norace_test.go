//go:build !race

package job

const raced = false
