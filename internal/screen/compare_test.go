package screen_test

import (
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/clothfile"
	"urdir/internal/lang"
	"urdir/internal/screen"
	"urdir/plan"
)

func readCloth(t *testing.T, text string) plan.Cloth {
	t.Helper()
	c, _, ps := clothfile.Read([]byte(text))
	if ps.Failed() {
		t.Fatal(ps)
	}
	return c
}

const small = `urdir: 1
name: Prueba
weft: sea
picks: 6 /cm
yarns:
  sea: {label: Sea, colour: "#336699", fibre: cotton, count: Ne 8/2}
  foam: {label: Foam, colour: "#eeeeee", fibre: cotton, count: Ne 8/2}
warps:
  body:
    sett: 20 /cm
    stripes:
      - 10 sea
      - 4 foam
      - 10 sea
      - 2 foam
panels:
  one:
    warp: body
    length: 60 cm
    bands:
      - {woven: 10 cm}
      - {woven: rest}
`

// What was changed by hand in the text is what is said, and nothing else.
func TestDifferences(t *testing.T) {
	w, err := lang.For("en")
	if err != nil {
		t.Fatal(err)
	}
	for what, c := range map[string]struct {
		edit []string // old, new ...
		want []string // place: was -> now
	}{
		"nothing":          {nil, nil},
		"one stripe wider": {[]string{"- 4 foam", "- 6 foam"}, []string{"2: Foam, 4 ends -> Foam, 6 ends"}},
		"one taken out":    {[]string{"      - 4 foam\n      - 10 sea\n", ""}, []string{"2: Foam, 4 ends -> ", "3: Sea, 10 ends -> "}},
		"one added":        {[]string{"      - 2 foam\n", "      - 2 foam\n      - 8 sea\n"}, []string{"5:  -> Sea, 8 ends"}},
		"a band and a yarn": {[]string{"10 cm}", "12 cm}", "#eeeeee", "#dddddd"}, []string{
			"1: woven, 10 cm -> woven, 12 cm", "2: Foam, #eeeeee, cotton, Ne 8/2, single -> Foam, #dddddd, cotton, Ne 8/2, single"}},
	} {
		var got []string
		for _, d := range screen.Differences(readCloth(t, small), readCloth(t, strings.NewReplacer(c.edit...).Replace(small)), w) {
			for _, l := range d.Lines {
				got = append(got, strings.TrimSpace(strings.Join([]string{string(rune('0' + l.Place)), ": ", l.Was, " -> ", l.Now}, "")))
			}
		}
		for i := range c.want {
			c.want[i] = strings.TrimSpace(c.want[i])
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", what, diff)
		}
	}
}

// Every example beside every other, both ways: whatever is taken away one way is
// added the other.
func TestDifferences_bothWays(t *testing.T) {
	w, err := lang.For("es")
	if err != nil {
		t.Fatal(err)
	}
	var all []plan.Cloth
	for _, name := range []string{"scarf", "runner", "sash", "tunic", "bag", "blanket", "class"} {
		text, err := os.ReadFile("../../examples/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, readCloth(t, string(text)))
	}
	count := func(ds []screen.Differing) (was, now int) {
		for _, d := range ds {
			for _, l := range d.Lines {
				if l.Was != "" {
					was++
				}
				if l.Now != "" {
					now++
				}
			}
		}
		return was, now
	}
	for i, a := range all {
		for j, b := range all {
			was, now := count(screen.Differences(a, b, w))
			back, forth := count(screen.Differences(b, a, w))
			if was != forth || now != back || (was+now == 0) != (i == j) {
				t.Errorf("%s and %s: %d away and %d added; the other way %d and %d", a.Name, b.Name, was, now, back, forth)
			}
		}
	}
}
