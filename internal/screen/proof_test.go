package screen_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/clothfile"
	"urdir/design"
	"urdir/draw"
	"urdir/examples"
	"urdir/internal/screen"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// files are the examples and the large cloth, by name.
func files(t testing.TB) map[string]string {
	t.Helper()
	all := map[string]string{"large": large(t)}
	for _, kind := range examples.Kinds {
		text, err := fs.ReadFile(examples.Files, kind+".yaml")
		if err != nil {
			t.Fatal(err)
		}
		all[kind] = string(text)
	}
	return all
}

// A picture of the desk's is what draw draws of the plan, pixel for pixel, and
// nothing of the picture before shows through.
func TestPicture_isTheDrawing(t *testing.T) {
	views := []screen.View{{}, {Back: true}, {Zoom: 40, From: 12}, {}, {Zoom: 300, End: 20, From: 3}, {Zoom: 120, End: 5, From: 9, Back: true}}
	for name, text := range files(t) {
		d := lay(t, text, "es")
		p, ps := plan.Make(readCloth(t, text))
		if ps.Failed() {
			t.Fatal(ps)
		}
		for _, size := range [][2]int{{800, 600}, {397, 511}} {
			for _, v := range views {
				w, h := measure.MM(size[0])/4, measure.MM(size[1])/4
				s, box := surface.NewPNG(w, h, size[0]), surface.Box{W: w, H: h}
				s.Rect(box, draw.Paper)
				switch {
				case v.Zoom > 0:
					draw.Part(s, box, p, draw.Detail{FirstEnd: v.End, FromCM: v.From, PerCM: v.Zoom / 4, Back: v.Back})
				case v.Back:
					draw.Back(s, box.Inset(2), p)
				default:
					draw.Cloth(s, box.Inset(2), p)
				}
				if !bytes.Equal(d.Picture(size[0], size[1], v), s.Image().Pix) {
					t.Errorf("%s, %v, %+v: not the drawing", name, size, v)
				}
			}
		}
	}
}

// A cloth that is opened and written is the same cloth, and written the same
// once more.
func TestFile_isTheCloth(t *testing.T) {
	for name, text := range files(t) {
		d := lay(t, text, "en")
		again := lay(t, d.File(), "en")
		if diff := cmp.Diff(readCloth(t, text), again.Cloth(), cmp.Exporter(func(reflect.Type) bool { return true })); diff != "" {
			t.Errorf("%s: opened, written and opened (-first +again):\n%s", name, diff)
		}
		if again.File() != d.File() {
			t.Errorf("%s: written differently the second time", name)
		}
	}
}

// What may be asked of a desk, drawn by chance.
func anyRequest(t *rapid.T, d *screen.Desk) map[string]any {
	var s screen.State
	if err := json.Unmarshal([]byte(d.State()), &s); err != nil {
		t.Fatal(err)
	}
	at := []design.At{{}, {In: design.Stripes, Key: "none", Path: []int{0}}}
	for _, l := range slices.Concat(s.Warps, s.Panels) {
		at = append(at, design.At{In: design.Stripes, Key: l.Key}, design.At{In: design.Bands, Key: l.Key})
		for _, r := range l.Rows {
			at = append(at, r.At)
		}
	}
	var keys []string
	for _, p := range s.Panels {
		keys = append(keys, p.Key)
	}
	for _, w := range s.Warps {
		keys = append(keys, w.Key)
	}
	for _, f := range s.Figures {
		keys = append(keys, f.Key)
	}
	texts := append([]string{"", "1", "7", "2 cm", "3,5", "12 %", "0", "-3", "1:2", "yes", "woven", "open", "fringe", "hem", "figure", "x y", "1e9", "99999", "#3366cc", "…", "un nombre", "a: b\n# c"}, keys...)
	yarns := []string{"none", "", "lot:L1"}
	for _, y := range s.Yarns {
		yarns = append(yarns, y.Yarn)
	}
	text := rapid.SampledFrom(texts)
	q := map[string]any{
		"do": rapid.SampledFrom(screen.DeedNames()).Draw(t, "do"),
		"at": rapid.SampledFrom(at).Draw(t, "at"), "to": rapid.SampledFrom(at).Draw(t, "to"),
		"count": rapid.IntRange(-3, 40).Draw(t, "count"), "own": rapid.IntRange(0, 4).Draw(t, "own"), "other": rapid.IntRange(0, 4).Draw(t, "other"),
		"which": rapid.IntRange(-1, 60).Draw(t, "which"), "seed": rapid.Uint64Range(0, 9).Draw(t, "seed"),
		"yarn": rapid.SampledFrom(yarns).Draw(t, "yarn"), "text": text.Draw(t, "text"), "unit": rapid.SampledFrom([]string{"ends", "cm", "parts", "?"}).Draw(t, "unit"),
		"kind": text.Draw(t, "kind"),
		"tie":  map[string]any{"ends": rapid.SampledFrom([]string{"", "1-10", "5", "9-2", "40-99999"}).Draw(t, "ends"), "from": text.Draw(t, "from"), "to": text.Draw(t, "to-cm"), "undyed": "#efe6d2", "bundle": text.Draw(t, "bundle"), "shift": text.Draw(t, "shift"), "before": text.Draw(t, "before")},
	}
	if text := q["text"].(string); rapid.IntRange(0, 3).Draw(t, "as a weft") == 0 && text != "" {
		q["text"] = q["yarn"]
	}
	return q
}

// aShelf is what lies beside the cloth in these tests.
var aShelf = screen.Bench{
	Lots:    []screen.Lot{{ID: "L1", Label: "Rojo de prueba", Letter: "R", Colour: "#a03030", Fibre: "cotton", Count: "Ne 8/2", Skein: 100, Grams: 800}},
	Figures: []screen.Known{{Key: "dot", Name: "Punto", Text: "figures:\n  dot: {colours: {x: a}, chart: \"x\"}\n", Sale: "yes"}},
}

// Whatever is asked: the answer is whole and in words, what was done can be
// taken back and done again byte for byte, and the file can always be opened.
func TestDeeds_canBeTakenBack(t *testing.T) {
	all, languages := files(t), []string{"en", "es"}
	names := slices.Sorted(maps.Keys(all))
	rapid.Check(t, func(t *rapid.T) {
		d, err := screen.Open(all[rapid.SampledFrom(names).Draw(t, "cloth")], rapid.SampledFrom(languages).Draw(t, "language"), aShelf)
		if err != nil {
			t.Fatal(err)
		}
		for range rapid.IntRange(1, 8).Draw(t, "deeds") {
			before := d.File()
			request, err := json.Marshal(anyRequest(t, d))
			if err != nil {
				t.Fatal(err)
			}
			s := whole(t, d, d.Ask(string(request)), string(request))
			after := d.File()
			if len(s.Refused) > 0 && !s.Refused[0].Caution {
				if after != before {
					t.Fatalf("%s\nwas refused and changed the cloth:\n%s", request, cmp.Diff(before, after))
				}
				continue
			}
			again, err := screen.Open(after, "es", aShelf)
			if err != nil {
				t.Fatalf("%s\nleaves a file that cannot be opened: %v\n%s", request, err, after)
			}
			if again.File() != after {
				t.Fatalf("%s\nleaves a file that reads as another:\n%s", request, cmp.Diff(after, again.File()))
			}
			if v := (screen.View{Back: rapid.Bool().Draw(t, "back")}); s.Fresh && !bytes.Equal(d.Picture(97, 61, v), again.Picture(97, 61, v)) {
				t.Fatalf("%s\nleaves a picture that is not that of the file", request)
			}
			whole(t, d, d.Ask(`{"do":"undo"}`), "undo")
			if d.File() != before {
				t.Fatalf("%s\ntaken back:\n%s", request, cmp.Diff(before, d.File()))
			}
			whole(t, d, d.Ask(`{"do":"redo"}`), "redo")
			if d.File() != after {
				t.Fatalf("%s\ndone again:\n%s", request, cmp.Diff(after, d.File()))
			}
		}
	})
}

// whole says that an answer has all its lists, and words for everything it says.
func whole(t *rapid.T, d *screen.Desk, answer, request string) (s screen.State) {
	if err := json.Unmarshal([]byte(answer), &s); err != nil {
		t.Fatalf("%s\nanswers %q: %v", request, answer, err)
	}
	if strings.Contains(answer, ":null") {
		t.Fatalf("%s\nanswers with nothing for a list: %s", request, answer)
	}
	said := []string{s.Undo, s.Redo}
	for _, p := range slices.Concat(s.Problems, s.Refused) {
		said = append(said, p.Text)
	}
	for _, l := range slices.Concat(s.Warps, s.Panels) {
		said = append(said, l.Title)
		for _, r := range l.Rows {
			said = append(said, r.Name, r.Word)
		}
	}
	for _, text := range said {
		if strings.HasPrefix(text, "[") || strings.Contains(text, ". [") || strings.Contains(text, "%!") {
			t.Fatalf("%s\nhas no words: %q", request, text)
		}
	}
	if pix := d.Picture(97, 61, screen.View{}); len(pix) != 97*61*4 {
		t.Fatalf("%s\nhas no picture", request)
	}
	return s
}

// Problems are said in the reader's language.
func TestProblems_inBothLanguages(t *testing.T) {
	said := map[string]string{}
	for _, language := range []string{"en", "es"} {
		d := lay(t, large(t), language)
		asked(t, d, `{"do":"size","at":{"in":"stripes","key":"body","path":[3]},"text":"400","unit":"ends"}`)
		s := asked(t, d, `{"do":"size","at":{"in":"stripes","key":"body","path":[99]},"text":"4","unit":"ends"}`)
		if s.Fresh || len(s.Problems) == 0 || len(s.Refused) == 0 {
			t.Fatalf("%s: %+v", language, s)
		}
		said[language] = fmt.Sprint(s.Problems, s.Refused)
	}
	if said["en"] == said["es"] || !strings.Contains(said["en"], "width") || !strings.Contains(said["es"], "ancho") {
		t.Errorf("said %q", said)
	}
}

// FuzzAsk asks anything. The answer is always a whole state.
func FuzzAsk(f *testing.F) {
	for _, q := range []string{
		``, `{}`, `null`, `[]`, `"`, `{"do":"undo"}`, `{"do":1}`, `{"do":"size","at":{"in":"stripes","key":"w","path":[0]},"text":"12","unit":"ends"}`,
		`{"do":"widen","at":{"in":"stripes","key":"w"},"which":-1,"count":9223372036854775807}`, `{"do":"repeat","at":{"in":"bands","key":"p","path":[0]},"count":1,"own":999999999}`,
		`{"do":"split","at":{"in":"stripes","key":"w","path":[-1]},"count":1}`, `{"do":"set-length","at":{"in":"bands","key":"p","path":[0]},"text":"1e308 cm"}`,
		`{"do":"set-sett","kind":"w","text":"NaN"}`, `{"do":"tie","at":{"in":"bands","key":"p"},"tie":{"ends":"1-9","from":"1","to":"4"}}`, `{"do":"use","which":3}`,
		`{"do":"draw-figure","kind":"k","text":"figures: {k: {chart: x}}"}`, `{"do":"colour","text":"x","kind":"#12345g"}`,
	} {
		f.Add(q, q)
	}
	f.Fuzz(func(t *testing.T, first, second string) {
		d, err := screen.Open(plainCloth, "es", aShelf)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range []string{first, second, `{"do":"undo"}`} {
			var s screen.State
			if err := json.Unmarshal([]byte(d.Ask(q)), &s); err != nil || s.Warps == nil || s.Panels == nil {
				t.Fatalf("%q answers no state: %v", q, err)
			}
			d.Picture(20, 20, screen.View{Zoom: float64(len(q)), End: len(first), From: measure.CM(len(second))})
		}
		if _, _, ps := clothfile.Read([]byte(d.File())); ps.Failed() {
			t.Fatalf("%q, %q leave a file that cannot be read: %v\n%s", first, second, ps, d.File())
		}
	})
}
