package design_test

import (
	"fmt"
	"strings"
	"testing"

	"urdir/check"
	"urdir/clothfile"
	"urdir/design"
	"urdir/examples"
	"urdir/plan"
	"urdir/warp"
)

// text is a cloth of one warp and one panel: 96 mm wide, 40 cm long, loom width
// 10 cm at 25 ends a cm: 250 ends.
const text = `urdir: 1
name: Cloth
shrinkage: {length: 5 %, width: 4 %}
picks: 5 /cm
weft: sand
yarns:
  red: {colour: "#a04030", count: 100 tex, strands: 2}
  sand: {colour: "#d0c0a0", count: 100 tex, strands: 2}
  mist: {colour: "#90a0a0", count: 100 tex, strands: 2}
warps:
  body: {sett: 25 /cm, STRIPES}
panels:
  runner: {warp: body, width: 9.6 cm, length: 40 cm, bands: [BANDS]}
`

const (
	someStripes = "stripes: [20 red, {repeat: 2, of: [10 sand, 4 mist]}, 1 part red]"
	someBands   = "{woven: rest}"
)

// cloth reads a cloth with the given stripes and bands.
func cloth(t testing.TB, stripes, bands string) plan.Cloth {
	t.Helper()
	file := strings.NewReplacer("STRIPES", stripes, "BANDS", bands).Replace(text)
	c, _, ps := clothfile.Read([]byte(file))
	if ps.Failed() {
		t.Fatalf("%s %s: %v", stripes, bands, ps)
	}
	return c
}

// order writes stripes out as a weaver writes them: "20 red, 2(10 sand, 4 mist)".
func order(c plan.Cloth) string {
	o := c.Warps[0].Order
	if len(o.Border) > 0 {
		return items(o.Border) + " | " + items(o.Items)
	}
	return items(o.Items)
}

func items(list []warp.Item) string {
	var parts []string
	for _, it := range list {
		switch {
		case it.Stripe != nil:
			parts = append(parts, stripe(*it.Stripe))
		case len(it.Mirror) > 0:
			parts = append(parts, "m("+items(it.Mirror)+")")
		default:
			parts = append(parts, fmt.Sprintf("%d(%s)", it.Repeat, items(it.Of)))
		}
	}
	return strings.Join(parts, ", ")
}

func stripe(s warp.Stripe) string {
	var yarns []string
	for _, l := range s.Yarns {
		if len(s.Yarns) > 1 {
			yarns = append(yarns, fmt.Sprintf("%d%s", l.Ends, l.Yarn))
		} else {
			yarns = append(yarns, l.Yarn)
		}
	}
	size := fmt.Sprint(s.Ends)
	if s.Width > 0 {
		size = fmt.Sprintf("%gcm", s.Width)
	} else if s.Share > 0 {
		size = fmt.Sprintf("%gpart", s.Share)
	}
	return size + " " + strings.Join(yarns, "+")
}

// bands writes the bands of the first panel out: "fringe 5, rest woven, hem 2".
func bands(c plan.Cloth) string { return bandItems(c.Panels[0].Bands) }

func bandItems(list []plan.BandItem) string {
	var parts []string
	for _, it := range list {
		switch {
		case it.Band != nil && it.Band.Rest:
			parts = append(parts, string(it.Band.Kind)+" rest")
		case it.Band != nil:
			parts = append(parts, fmt.Sprintf("%s %g", it.Band.Kind, it.Band.Length))
		case len(it.Mirror) > 0:
			parts = append(parts, "m("+bandItems(it.Mirror)+")")
		default:
			parts = append(parts, fmt.Sprintf("%d(%s)", it.Repeat, bandItems(it.Of)))
		}
	}
	return strings.Join(parts, ", ")
}

// at is a place in the stripes.
func at(path ...int) design.At { return design.At{In: design.Stripes, Key: "body", Path: path} }

// along is a place in the bands.
func along(path ...int) design.At { return design.At{In: design.Bands, Key: "runner", Path: path} }

func plainStripe(yarn string, ends int) warp.Stripe {
	return warp.Stripe{Yarns: []warp.Lay{{Yarn: yarn}}, Ends: ends}
}

func codes(ps check.Problems) string {
	var out []string
	for _, p := range ps {
		out = append(out, p.Path+" "+p.Code)
	}
	return strings.Join(out, "; ")
}

// example is an example cloth, read anew.
func example(t interface{ Fatal(...any) }, kind string) plan.Cloth {
	file, err := examples.Files.ReadFile(kind + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	c, _, ps := clothfile.Read(file)
	if ps.Failed() {
		t.Fatal(ps)
	}
	return c
}
