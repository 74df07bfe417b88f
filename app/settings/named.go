package settings

import (
	"slices"
	"strings"
)

// mostNamed bounds a list of what is kept under own names, mostName the names, in
// bytes.
const (
	mostNamed = 50
	mostName  = 60
)

// named is what is kept under an own name.
type named interface{ name() string }

// ofName returns the item of a name.
func ofName[T named](list []T, name string) (item T, ok bool) {
	i := slices.IndexFunc(list, func(t T) bool { return t.name() == name })
	if i < 0 {
		return item, false
	}
	return list[i], true
}

// withNamed returns a list with an item at its head, in the place of one of its name.
func withNamed[T named](list []T, item T) []T {
	list = append([]T{item}, withoutNamed(list, item.name())...)
	return list[:min(len(list), mostNamed)]
}

// withoutNamed returns a list without the item of a name; nil where none is left.
func withoutNamed[T named](list []T, name string) []T {
	list = slices.DeleteFunc(slices.Clone(list), func(t T) bool { return t.name() == name })
	if len(list) == 0 {
		return nil
	}
	return list
}

// withFirst returns the own items, newest first, then those of a first start whose
// names aren't taken.
func withFirst[T named](own, first []T) []T {
	all := slices.Clone(own)
	for _, f := range first {
		if _, taken := ofName(own, f.name()); !taken {
			all = append(all, f)
		}
	}
	return all
}

// ofValues returns the item for which holds is true: the one of the chosen name where
// several are.
func ofValues[T named](all []T, chosen string, holds func(T) bool) (item T, ok bool) {
	found := slices.DeleteFunc(slices.Clone(all), func(t T) bool { return !holds(t) })
	if item, ok := ofName(found, chosen); ok {
		return item, true
	}
	if len(found) == 0 {
		return item, false
	}
	return found[0], true
}

// soundItems returns the items of a list whose names and values make sense: the file
// may have been changed by hand.
func soundItems[T named](list []T, sound func(T) bool) []T {
	var out []T
	for _, t := range list[:min(len(list), mostNamed)] {
		if n := t.name(); n != "" && len(n) <= mostName && sound(t) {
			out = append(out, t)
		}
	}
	return out
}

// nameToKeep returns a name without blanks around it; "" where it can't be kept.
func nameToKeep(name string) string {
	if name = strings.TrimSpace(name); len(name) > mostName {
		return ""
	}
	return name
}
