package books_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"urdir/price/books"
)

func TestNumber_text(t *testing.T) {
	n := books.Number{Series: "F", Year: 2026, N: 12}
	if n.String() != "F-2026-0012" {
		t.Errorf("%s", n)
	}
	for _, text := range []string{"", "F-2026-12", "f-2026-0012", "F-2026-0000", "F-2026--012", "F-2026-0012-1", "-2026-0012", "F-26-0012", "F-2026-+012"} {
		if got, ok := books.ParseNumber(text); ok {
			t.Errorf("%q is read as %v", text, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		n := books.Number{Series: rapid.StringMatching(`[A-Z0-9]{1,4}`).Draw(t, "series"), Year: rapid.IntRange(1, 9999).Draw(t, "year"), N: rapid.Int64Range(1, 1<<40).Draw(t, "n")}
		if got, ok := books.ParseNumber(n.String()); !ok || got != n {
			t.Fatalf("%s is read as %v, %v", n, got, ok)
		}
	})
}

// Numbers taken one after the other have no gap; one taken away is found, unless it
// is the last; one put in twice is found.
func TestCheckNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []books.Number
		last := map[string]books.Number{}
		for range rapid.IntRange(2, 30).Draw(t, "documents") {
			series, year := rapid.SampledFrom([]string{"F", "R"}).Draw(t, "series"), 2026
			last[series] = books.Next(last[series], series, year)
			all = append(all, last[series])
		}
		for _, series := range []string{"F", "R"} {
			if first := books.Next(last[series], series, 2027); first.N != 1 {
				t.Fatalf("a new year begins at %d", first.N)
			}
		}
		if ps := books.CheckNumbers(all); ps != nil {
			t.Fatal(ps)
		}
		i := rapid.IntRange(0, len(all)-1).Draw(t, "lost")
		lost := all[i]
		ps := books.CheckNumbers(slices.Delete(slices.Clone(all), i, i+1))
		if lost == last[lost.Series] {
			if ps != nil {
				t.Fatalf("the last, %s, is not there yet: %v", lost, ps)
			}
		} else if len(ps) != 1 || ps[0].Code != "number-missing" || ps[0].Args["from"] != lost.String() || ps[0].Args["to"] != lost.String() {
			t.Fatalf("without %s: %v", lost, ps)
		}
		if ps = books.CheckNumbers(append(all, lost)); !has(ps, "number-twice") {
			t.Fatalf("%s twice: %v", lost, ps)
		}
	})
	if ps := books.CheckNumbers([]books.Number{{Series: "f", Year: 2026, N: 1}}); !has(ps, "number-unread") {
		t.Error(ps)
	}
}
