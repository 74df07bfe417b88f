//go:build !race

package register

const raced = false
