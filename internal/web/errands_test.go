package web

import (
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// Errands are told by when they are due; what reads the same once, with its number;
// what stands in the day's hours not again.
func TestErrandGroups(t *testing.T) {
	e := func(kind, id, name, due string, late bool) workshop.Errand {
		return workshop.Errand{Kind: kind, Where: "job", ID: id, Name: name, Due: due, Late: late}
	}
	d := workshop.Day{
		Errands: []workshop.Errand{
			e("errand-pay", "a", "#1", "2026-11-20", true),
			e("errand-turn-weave", "b", "#2", "2026-11-28", false),
			e("errand-turn-wash", "b", "#2", "2026-11-28", false),
			e("errand-give-out", "c", "#3", "2026-12-05", false),
			e("errand-give-out", "d", "#3", "2026-12-05", false),
			e("errand-give-out", "f", "#3", "2026-12-06", false),
			e("errand-reorder", "g", "blue", "", false),
		},
		Clock: []workshop.ClockLine{{Task: "weave", Where: "job", ID: "b"}},
	}
	var got []string
	for _, g := range errandGroups(d, "2026-11-28") {
		for _, r := range g.Rows {
			got = append(got, g.When+" "+r.Kind+" "+r.ID+strings.Repeat("+", r.N-1))
		}
	}
	want := "late errand-pay a, today errand-turn-wash b, week errand-give-out c+, later errand-give-out f, undated errand-reorder g"
	if s := strings.Join(got, ", "); s != want {
		t.Errorf("%s\nwant %s", s, want)
	}
}
