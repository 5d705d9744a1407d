package web

import (
	"io"
	"net/url"
	"strconv"

	"urdir/internal/lang"
	"urdir/internal/workshop"
	"urdir/plan"
	"urdir/sheet"
)

// shareView is what a customer is to be shown of a cloth.
type shareView struct {
	Cloth  workshop.Kept[workshop.Cloth]
	Made   workshop.Planned
	Show   map[string]bool
	Lang   string
	Shown  int    // the version; 0 for the newest
	Chosen string // the choice, as an address says it
}

// shareFacts is what may be shown, and shareOwn what of it is the workshop's own:
// only that is left out until it is asked for.
var shareFacts = []string{"name", "size", "materials", "weight", shareOwn}

const shareOwn = "numbers"

// shareView reads a choice. A form sends no box that is not ticked, so it says
// besides that it was sent.
func (v *visit) shareView() (view shareView, err error) {
	q := v.r.URL.Query()
	view.Shown, view.Lang, view.Show = v.version(), v.Words.Base, map[string]bool{}
	if _, unknown := lang.For(q.Get("lang")); unknown == nil {
		view.Lang = q.Get("lang")
	}
	chosen := url.Values{"chosen": {"1"}, "lang": {view.Lang}}
	if view.Shown > 0 {
		chosen.Set("v", strconv.Itoa(view.Shown))
	}
	for _, f := range shareFacts {
		view.Show[f] = f != shareOwn
		if q.Get("chosen") != "" {
			view.Show[f] = q.Get(f) != ""
		}
		if view.Show[f] {
			chosen.Set(f, "1")
		}
	}
	view.Chosen = chosen.Encode()
	view.Cloth, view.Made, err = v.s.house.Cloth(v.r.Context(), v.Person, v.r.PathValue("id"), view.Shown)
	return view, err
}

// Facts is what can be chosen.
func (shareView) Facts() []string { return shareFacts }

func sharePage(v *visit) error {
	view, err := v.shareView()
	if err != nil {
		return err
	}
	return v.page("share", v.T("share")+": "+view.Cloth.Value.Name, view)
}

func sharePicture(v *visit) error { return v.share("image/png", ".png", sheet.SharePNG) }

func sharePDF(v *visit) error { return v.share("application/pdf", ".pdf", sheet.SharePDF) }

func (v *visit) share(kind, ending string, write func(io.Writer, plan.Plan, sheet.Share) error) error {
	view, err := v.shareView()
	if err != nil {
		return err
	}
	if view.Made.Failed() {
		return &workshop.Error{Code: workshop.NotFound}
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	o.Language = view.Lang
	name := set.Value.Name
	if view.Show["name"] {
		name = view.Made.Plan.Name
	}
	return v.send(kind, fileName(name)+ending, func(w io.Writer) error {
		return write(w, view.Made.Plan, sheet.Share{Options: o, Workshop: set.Value.Name, Day: v.s.house.Now(),
			Name: view.Show["name"], Size: view.Show["size"], Materials: view.Show["materials"], Weight: view.Show["weight"], Numbers: view.Show[shareOwn]})
	})
}
