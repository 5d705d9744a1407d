package clothfile_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/clothfile"
)

// nested puts groups of a kind inside each other, in brackets.
func nested(group string, depth int, leaf string) string {
	return strings.Repeat("["+group+": ", depth) + "[" + leaf + "]" + strings.Repeat("]", depth)
}

// Texts that a slip or ill will could make hard to read. Each is refused for
// its own reason, and within a time that nobody waits for: the bound is wide,
// since it also runs on slow machines; what it guards against takes minutes.
func TestRead_hostileText(t *testing.T) {
	const bound = 15 * time.Second
	stripes := func(s string) string { return "urdir: 1\nwarps:\n  a:\n    sett: 1 /cm\n    stripes: " + s + "\n" }
	bands := func(s string) string { return "urdir: 1\npanels:\n  a:\n    bands: " + s + "\n" }
	lines := func(line string, n int) string { return strings.Repeat(line+"\n", n) }
	indented := func(n int) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(strings.Repeat(" ", i) + "a:\n")
		}
		return b.String()
	}
	tests := []struct{ name, text, want string }{
		{"ten megabytes", lines("# a remark that never ends", 400_000), "1:1 file-too-big"},
		{"ten megabytes of one word", strings.Repeat("x", 10<<20), "1:1 file-too-big"},
		{"square brackets", strings.Repeat("[", 1_000_000), "1:1 file-too-deep"},
		{"curly brackets", "urdir: 1\nname: " + strings.Repeat("{", 1_000_000), "2:1 file-too-deep"},
		{"brackets on lines", lines("[", 500_000), "41:1 file-too-deep"},
		{"fields in brackets", strings.Repeat("{a: ", 250_000), "1:1 file-too-deep"},
		{"hyphens", strings.Repeat("- ", 500_000), "1:1 file-too-deep"},
		{"question marks", strings.Repeat("? ", 500_000), "1:1 file-too-deep"},
		{"hyphens and tags", strings.Repeat("- !a ", 200_000), "1:1 file-too-deep"},
		{"colons", strings.Repeat("a: ", 300_000), "1:1 file-too-deep"},
		{"indentation", indented(1000), "322:1 file-too-deep"},
		{"the same field", lines("a: b", 200_000), "1:1 parts-too-many"},
		{"fields without values", lines("a:", 300_000), "1:1 parts-too-many"},
		{"list entries", lines("- ", 300_000), "1:1 parts-too-many"},
		{"documents", lines("---", 250_000), "1:1 parts-too-many"},
		{"a list longer than any warp", stripes("[" + strings.Repeat("1 a,", 200_000) + "]"), "5:5 parts-too-many"},
		{"stripes in stripes", stripes(nested("mirror", 12, "1 a")), "5:114 stripes-too-deep"},
		{"bands in bands", bands(nested("mirror", 12, "woven: 1 cm")), "4:112 bands-too-deep"},
		{"a repeat of everything", stripes("[{repeat: 9000000000000000000, of: [1 a]}]"), "5:24 out-of-range"},
		{"bands repeated for ever", bands("[{repeat: 9000000000000000000, of: [{woven: 1 cm}]}]"), "4:22 out-of-range"},
		{"bands of nothing repeated", bands("[{repeat: 9000000000000000000, of: []}]"), "4:22 out-of-range"},
		{"bands repeated and repeated", bands("[{repeat: 9000000000000000000, of: [{repeat: 2000, of: [{woven: 1 cm}]}]}]"), "4:22 out-of-range"},
		{"more than a number holds", bands("[{repeat: 90000000000000000000, of: [{woven: 1 cm}]}]"), "4:22 number-not-whole"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			began := time.Now()
			got := problems(t, tt.text)
			if took := time.Since(began); took > bound {
				t.Errorf("took %v", took)
			}
			// A file may have other faults beside: the one asked for is there.
			if !slices.Contains(got, tt.want) || len(got) > 5 {
				t.Errorf("\n got %.300q\nwant %q", got, tt.want)
			}
		})
	}
}

// Repeats of repeats are small to write and too large to lay. They pass the
// reader and are refused in planning, before they are written out.
func TestRead_repeatsExplode(t *testing.T) {
	const bound = 15 * time.Second
	repeats := func(leaf string) string {
		return strings.Repeat("{repeat: 3000, of: [", 10) + leaf + strings.Repeat("]}", 10)
	}
	mirrors := func(leaf string) string {
		return strings.Repeat("{mirror: [", 11) + leaf + strings.Repeat("]}", 11)
	}
	many := func(s string) string { return strings.TrimSuffix(strings.Repeat(s+", ", 2999), ", ") }
	tests := []struct{ name, old, new, want string }{
		{"stripes repeated", "      - 8 rust", "      - " + repeats("1 rust"), "stripes-too-many"},
		{"stripes mirrored", "      - 8 rust", "      - " + mirrors(many("1 rust")), "stripes-too-many"},
		{"bands repeated", "{woven: rest}", repeats("{woven: 1 cm}"), "bands-too-many"},
		{"bands mirrored", "{woven: rest}", mirrors(many("{woven: 1 cm}\n         ")), "bands-too-many"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			began := time.Now()
			got := problems(t, change(t, mat(t), tt.old, tt.new))
			if took := time.Since(began); took > bound {
				t.Errorf("took %v", took)
			}
			if !slices.ContainsFunc(got, func(s string) bool { return strings.HasSuffix(s, " "+tt.want) }) {
				t.Errorf("\n got %.300q\nwant %q", got, tt.want)
			}
		})
	}
}

// The limits leave room: a file at them is read.
func TestRead_atTheLimits(t *testing.T) {
	note := strings.Repeat("# "+strings.Repeat("a remark ", 11)+"\n", clothfile.MaxBytes/102)
	text := mat(t)
	text += note[:clothfile.MaxBytes-len(text)]
	if got := problems(t, text); len(text) != clothfile.MaxBytes || len(got) > 0 {
		t.Errorf("%d bytes: %v", len(text), got)
	}
	if got := problems(t, text+"#"); !slices.Equal(got, []string{"1:1 file-too-big"}) {
		t.Errorf("one byte more: %v", got)
	}
	var kit strings.Builder
	for i := range 3000 {
		fmt.Fprintf(&kit, "\n  - {item: thing %d, each: 1}", i)
	}
	if got := problems(t, mat(t)+"kit:"+kit.String()+"\n"); len(got) > 0 {
		t.Errorf("3000 things in the kit: %v", got)
	}
	signs := strings.Repeat("      "+strings.Repeat(".:", 200)+"\n", 400)
	large := change(t, mat(t), "      .x.\n      xxx\n      .x.\n--\n{x: rust}\n--\n      - {figure: 3 cm, chart: leaf, count: 2, spacing: 2 cm}\n",
		signs+"--\n{\":\": rust}\n--\n")
	if got := problems(t, large); len(got) > 0 {
		t.Errorf("a chart of 400 by 400: %v", got)
	}
}
