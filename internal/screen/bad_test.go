package screen_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/screen"
	"urdir/warp"
)

// soon fails a test that takes too long: a page has one thread, and what is
// reckoned on it must not stand still. A busy machine may be ten times slower.
func soon(t *testing.T, what string, most time.Duration, do func()) {
	t.Helper()
	start := time.Now()
	do()
	if took := time.Since(start); took > most {
		t.Errorf("%s takes %v; want at most %v", what, took, most)
	}
}

// wide is a cloth of so many ends, one dark and one light in turn, at 100 to the
// centimetre.
func wide(ends int) string {
	return fmt.Sprintf(`urdir: 1
name: Ancha
weft: a
picks: 6 /cm
yarns:
  a: {colour: "#203050", count: Nm 100/2}
  b: {colour: "#e0e0d0", count: Nm 100/2}
warps: {w: {sett: 100 /cm, stripes: [{alternate: [1 a, 1 b], over: %d}]}}
panels: {p: {warp: w, bands: [{fringe: 8 cm}, {woven: 100 cm}, {fringe: 8 cm}]}}
`, ends)
}

// As many ends as a warp may have are planned and drawn; one pair more is
// refused in words, and the cloth stays on the table to be mended.
func TestOpen_mostEnds(t *testing.T) {
	var d *screen.Desk
	soon(t, "opening the widest cloth", 5*time.Second, func() { d = lay(t, wide(warp.MaxEnds), "es") })
	soon(t, "drawing it", 5*time.Second, func() {
		for _, v := range []screen.View{{}, {Zoom: 200, End: 9000, From: 20}} {
			if len(d.Picture(800, 600, v)) == 0 {
				t.Error("no picture")
			}
		}
	})
	soon(t, "its numbers", 5*time.Second, func() { d.Settle() })
	if s := asked(t, d, `{}`); !s.Fresh || len(s.Problems) > 0 {
		t.Fatalf("%d ends: %+v", warp.MaxEnds, s.Problems)
	}
	s := asked(t, d, fmt.Sprintf(`{"do":"size","at":{"in":"stripes","key":"w","path":[0]},"text":"%d","unit":"ends"}`, warp.MaxEnds+2))
	if said := fmt.Sprint(s.Problems, s.Refused); !strings.Contains(said, "20.000") {
		t.Errorf("%d ends: said %q", warp.MaxEnds+2, said)
	}
	soon(t, "opening a wider one", 5*time.Second, func() { d = lay(t, wide(warp.MaxEnds+2), "es") })
	if s = asked(t, d, `{}`); s.Fresh || !strings.Contains(fmt.Sprint(s.Problems), "20.000") {
		t.Errorf("opened with %d ends: fresh %v, said %v", warp.MaxEnds+2, s.Fresh, s.Problems)
	}
	s = asked(t, d, `{"do":"size","at":{"in":"stripes","key":"w","path":[0]},"text":"40","unit":"ends"}`)
	if !s.Fresh {
		t.Errorf("mended: said %v %v", s.Problems, s.Refused)
	}
}

// Files that are too large are refused at once, and with a reason.
func TestOpen_tooLarge(t *testing.T) {
	chart := func(columns, rows int) string {
		return strings.Replace(plainCloth, "warps:", "figures:\n  big:\n    colours: {x: a}\n    chart: |\n"+
			strings.Repeat("      "+strings.Repeat("x.", columns/2)+"\n", rows)+"warps:", 1)
	}
	for _, tc := range []struct{ name, text, code string }{
		{"a chart of 2000 by 2000", chart(2000, 2000), "file-too-big"},
		{"a chart as wide as the file allows", chart(2000, 500), "chart-rows"},
		{"a byte more than a file may have", plainCloth + "#" + strings.Repeat("x", clothfile.MaxBytes-len(plainCloth)), "file-too-big"},
	} {
		soon(t, tc.name, 5*time.Second, func() {
			_, err := screen.Open(tc.text, "es", screen.Bench{})
			var unread *screen.Unread
			if !errors.As(err, &unread) || !has(unread.Problems, tc.code) {
				t.Errorf("%s: %v; want %s", tc.name, err, tc.code)
			}
		})
	}
	full := plainCloth + "#" + strings.Repeat("x", clothfile.MaxBytes-len(plainCloth)-1)
	soon(t, "a file of the most bytes", 5*time.Second, func() { lay(t, full, "es") })
}

func has(ps check.Problems, code string) bool {
	for _, p := range ps {
		if p.Code == code {
			return true
		}
	}
	return false
}

// The largest chart that is allowed, in as many figures as fit a file, is
// opened, changed and drawn.
func TestOpen_mostChart(t *testing.T) {
	text := strings.Replace(plainCloth, "warps:", "figures:\n  big:\n    colours: {x: a}\n    cell: {ends: 1, picks: 1}\n    chart: |\n"+
		strings.Repeat("      "+strings.Repeat("x.", 200)+"\n", 400)+"warps:", 1)
	text = strings.NewReplacer("10 /cm", "25 /cm", "bands: [{woven: rest}]", "bands: [{figure: fit, chart: big, count: 1}, {woven: rest}]").Replace(text)
	var d *screen.Desk
	soon(t, "opening", 5*time.Second, func() { d = lay(t, text, "en") })
	if s := asked(t, d, `{}`); !s.Fresh {
		t.Fatalf("said %v", s.Problems)
	}
	soon(t, "ten changes", 10*time.Second, func() {
		for range 5 {
			asked(t, d, `{"do":"set-picks","at":{"in":"bands","key":"p","path":[1]},"text":"6"}`)
			asked(t, d, `{"do":"undo"}`)
		}
	})
	soon(t, "drawing", 5*time.Second, func() { d.Picture(800, 600, screen.View{}) })
	soon(t, "its numbers", 5*time.Second, func() { d.Settle() })
}
