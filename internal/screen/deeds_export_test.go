package screen

import (
	"maps"
	"slices"
)

// DeedNames is everything that can be asked of a desk but undo and redo.
func DeedNames() (names []string) {
	names = append(slices.Sorted(maps.Keys(deeds)), slices.Sorted(maps.Keys(tiedDeeds))...)
	for _, key := range slices.Sorted(maps.Keys(settings)) {
		names = append(names, "set-"+key)
	}
	return names
}
