package web

import (
	"encoding/json"
	"io"
	"io/fs"
	"mime/multipart"
	"net/http"
	"strings"

	"urdir/clothfile"
	"urdir/examples"
	"urdir/internal/workshop"
)

func clothList(v *visit) error {
	l, err := v.s.house.Cloths(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("cloths", v.T("cloths"), l)
}

type clothView struct {
	workshop.Kept[workshop.Cloth]
	Made     workshop.Planned
	Versions []workshop.Kept[workshop.Version] // the last first
	Shown    int
	Desks    workshop.Desks
}

// Lately is the versions that are shown at once, Older those behind a fold.
func (c clothView) Lately() []workshop.Kept[workshop.Version] {
	return c.Versions[:min(len(c.Versions), versionsShown)]
}

func (c clothView) Older() []workshop.Kept[workshop.Version] {
	return c.Versions[min(len(c.Versions), versionsShown):]
}

const versionsShown = 8

func clothPage(v *visit) error {
	id, n := v.r.PathValue("id"), v.version()
	c, made, err := v.s.house.Cloth(v.r.Context(), v.Person, id, n)
	if err != nil {
		return err
	}
	vs, err := v.s.house.Versions(v.r.Context(), v.Person, id)
	if err != nil {
		return err
	}
	if n == 0 {
		n = c.Value.Version
	}
	d, err := v.s.house.Drafts(v.r.Context(), v.Person, id)
	if err != nil {
		return err
	}
	return v.page("cloth", c.Value.Name, clothView{c, made, vs, n, d})
}

// version is the version of a cloth the address asks for; 0 is the current one.
func (v *visit) version() int {
	n := 0
	for _, d := range v.r.URL.Query().Get("v") {
		if d < '0' || d > '9' || n > 1e6 {
			return 0
		}
		n = n*10 + int(d-'0')
	}
	return n
}

// newClothPage offers the kinds of cloth to begin with.
func newClothPage(v *visit) error {
	var c workshop.Kept[workshop.Cloth]
	kind := v.r.URL.Query().Get("kind")
	if kind == "" {
		return v.page("cloth-new", v.T("cloth-new"), examples.Kinds)
	}
	if text, err := fs.ReadFile(examples.Files, kind+".yaml"); err == nil {
		c.Value = workshop.Cloth{Name: v.T("kind-" + kind), Kind: kind, Text: string(text)}
	}
	return v.page("cloth-form", v.T("cloth-new"), c)
}

func clothForm(v *visit) error {
	c, _, err := v.s.house.Cloth(v.r.Context(), v.Person, v.r.PathValue("id"), 0)
	if err != nil {
		return err
	}
	return v.page("cloth-form", v.titleOf("cloth-new", c.ID, c.Value.Name), c)
}

// saveCloth keeps a cloth; a file sent along takes the place of what is typed.
func saveCloth(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	c := workshop.Kept[workshop.Cloth]{ID: v.r.PathValue("id"), Value: workshop.Cloth{
		Name: f.text("name"), Kind: f.text("kind"), Note: f.text("note"), Text: f.text("text")}}
	if c.ID != "" {
		c.Revision = f.revision()
	}
	sent, err := v.sent(f, "file", clothfile.MaxBytes)
	if err != nil {
		return err
	}
	if sent != "" {
		c.Value.Text = sent
	}
	if err = f.err(); err != nil {
		return v.again(err, "cloth-form", v.titleOf("cloth-new", c.ID, c.Value.Name), c)
	}
	kept, err := v.s.house.SaveCloth(v.r.Context(), v.Person, c)
	if err != nil {
		return v.again(err, "cloth-form", v.titleOf("cloth-new", c.ID, c.Value.Name), c)
	}
	if f.text("then") == "design" {
		return v.to("/cloths/"+kept.ID+"/design", "saved")
	}
	return v.to("/cloths/"+kept.ID, "saved")
}

// sent reads a text file that was sent with a form; empty if none was.
func (v *visit) sent(f *form, field string, most int) (string, error) {
	file, head, err := v.r.FormFile(field)
	if err != nil {
		return "", nil // none was sent
	}
	defer func() { _ = file.Close() }() // only read
	if head.Size > int64(most) {
		f.ps.Wrong(field, "file-too-big", map[string]any{"kilobytes": int(head.Size / 1024), "most": most / 1024})
		return "", nil
	}
	text, err := readText(file)
	if err != nil {
		return "", err
	}
	if !isText(text) {
		f.ps.Wrong(field, "file-not-text", nil)
		return "", nil
	}
	return text, nil
}

func readText(file multipart.File) (string, error) {
	b, err := io.ReadAll(file)
	return strings.TrimPrefix(string(b), "\ufeff"), err
}

func isText(s string) bool {
	kind := http.DetectContentType([]byte(s))
	return strings.HasPrefix(kind, "text/plain") && plain(s)
}

func figureList(v *visit) error {
	l, err := v.s.house.Figures(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("figures", v.T("figures"), l)
}

func figurePage(v *visit) error {
	f, err := v.s.house.Figure(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.page("figure", f.Value.Name, f)
}

func figureForm(v *visit) error {
	k := workshop.Kept[workshop.Figure]{Value: workshop.Figure{Sale: "yes",
		Text: "cell: {ends: 6, picks: 2}\nfloat: 30 mm\ncolours: {x: figure}\nchart: |\n  ..x..\n  .xxx.\n  xxxxx\n  .xxx.\n  ..x..\n"}}
	if id := v.r.PathValue("id"); id != "" {
		var err error
		if k, err = v.s.house.Figure(v.r.Context(), v.Person, id); err != nil {
			return err
		}
	}
	return v.page("figure-form", v.titleOf("figure-new", k.ID, k.Value.Name), k)
}

func saveFigure(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	k := workshop.Kept[workshop.Figure]{ID: v.r.PathValue("id"), Value: workshop.Figure{
		Name: f.text("name"), Text: f.text("text"), Origin: f.text("origin"), Meaning: f.text("meaning"),
		Owner: f.text("owner"), Sale: f.text("sale"), Ask: f.text("ask"), Granted: f.text("granted"), Tell: f.yes("tell")}}
	if k.ID != "" {
		k.Revision = f.revision()
	}
	kept, err := v.s.house.SaveFigure(v.r.Context(), v.Person, k)
	if err != nil {
		return v.figureAgain(err, k)
	}
	return v.to("/figures/"+kept.ID, "saved")
}

// designerView is a cloth on the designer's table.
type designerView struct {
	Cloth  workshop.Kept[workshop.Cloth]
	Words  string // JSON, for what the page itself says
	Bench  string // JSON: what lies ready, a screen.Bench
	Desks  workshop.Desks
	Base   int    // the version that is worked on
	Text   string // of it, or the draft that goes on from it
	Behind bool   // there is a newer version than that
}

func designer(v *visit) error {
	view, err := v.designerView()
	if err != nil {
		return err
	}
	return v.page("designer", v.designerTitle(view), view)
}

func (v *visit) designerTitle(view designerView) string {
	return v.T("design") + ": " + view.Cloth.Value.Name
}

// designerView gathers what the designer's page needs: what is laid out is the
// visitor's own draft, if she has one.
func (v *visit) designerView() (view designerView, err error) {
	if view.Desks, err = v.s.house.Drafts(v.r.Context(), v.Person, v.r.PathValue("id")); err != nil {
		return view, err
	}
	view.Cloth = view.Desks.Cloth
	view.Base, view.Text = view.Cloth.Value.Version, view.Cloth.Value.Text
	if d := view.Desks.Mine; d != nil {
		view.Base, view.Text, view.Behind = d.Version, d.Text, d.Version < view.Base
	}
	words := map[string]string{}
	for _, k := range designerWords {
		words[k] = v.T("design-" + k)
	}
	for _, k := range keepWords {
		words[k] = v.T(k, "by", "{by}", "since", "{since}", "version", "{version}", "at", "{at}")
	}
	bench, err := v.bench()
	if err != nil {
		return view, err
	}
	w, err := json.Marshal(words)
	if err != nil {
		return view, err
	}
	b, err := json.Marshal(bench)
	if err != nil {
		return view, err
	}
	v.w.Header().Set("Content-Security-Policy", policy("script-src 'self' 'wasm-unsafe-eval'")) // the designer is a program
	view.Words, view.Bench = string(w), string(b)
	return view, nil
}
