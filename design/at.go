package design

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"urdir/plan"
)

// In names a list of a cloth.
type In string

const (
	Stripes In = "stripes" // of a warp
	Border  In = "border"  // of a warp: laid at both edges
	Bands   In = "bands"   // of a panel
)

// At is where a stripe, a band or a group of them stands: the list, the key of
// its warp or panel, and the way in by places from 0. Path [2 0] is the first
// of the group that is third in the list.
type At struct {
	In   In     `json:"in"`
	Key  string `json:"key"`
	Path []int  `json:"path"`
}

// list is the path of the whole list, as problems write it.
func (a At) list() string {
	if a.In == Bands {
		return "panels." + a.Key + ".bands"
	}
	return "warps." + a.Key + "." + string(a.In)
}

// in is the same list at another path.
func (a At) in(path []int) At { return At{a.In, a.Key, path} }

func (a At) same(b At) bool {
	return a.In == b.In && a.Key == b.Key && slices.Equal(a.Path, b.Path)
}

// indexOf is where an address first comes in a list of them; -1 if it does not.
func indexOf(all []At, at At) int { return slices.IndexFunc(all, at.same) }

// PathOf is the address as problems write it, "warps.body.stripes[2].of[0]", as
// far as there is such a place.
func PathOf(c plan.Cloth, at At) string {
	nodes, ok := load(c, at)
	if !ok {
		return at.list()
	}
	text := at.list()
	for depth, i := range at.Path {
		text = fmt.Sprintf("%s[%d]", text, i)
		if i < 0 || i >= len(nodes) || depth == len(at.Path)-1 {
			break
		}
		if nodes[i].mirror {
			text += ".mirror"
		} else {
			text += ".of"
		}
		nodes = nodes[i].kids
	}
	return text
}

// AtOf reads the address in the path of a problem; what follows the stripe or
// band is left out. ok is false when the path is not in a list.
func AtOf(path string) (at At, ok bool) {
	for _, l := range []struct {
		top string
		in  In
	}{{"warps.", Stripes}, {"warps.", Border}, {"panels.", Bands}} {
		rest, found := strings.CutPrefix(path, l.top)
		if !found {
			continue
		}
		key, places, found := strings.Cut(rest, "."+string(l.in)+"[")
		if found {
			at = At{In: l.in, Key: key, Path: readPlaces("[" + places)}
			return at, len(at.Path) > 0
		}
	}
	return At{}, false
}

// readPlaces reads "[2].of[0].ends" as 2, 0.
func readPlaces(s string) (path []int) {
	for strings.HasPrefix(s, "[") {
		number, rest, found := strings.Cut(s[1:], "]")
		n, err := strconv.Atoi(number)
		if !found || err != nil || n < 0 {
			return path
		}
		path = append(path, n)
		s = strings.TrimPrefix(strings.TrimPrefix(rest, ".of"), ".mirror")
	}
	return path
}
