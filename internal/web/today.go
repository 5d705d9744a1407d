package web

import (
	"strings"

	"github.com/piglig/go-qr"

	"urdir/dye"
	"urdir/internal/workshop"
)

// todayView is the first page.
type todayView struct {
	workshop.Day
	Groups  []errandGroup
	Address string
	QR      string // path of the QR to the address, empty if there is none
	QRSize  int
}

func today(v *visit) error {
	if v.Person.Member != "" && !v.May("Orders") { // what a member sees first is her own
		return handPage(v)
	}
	d, err := v.s.house.Today(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	view := todayView{Day: d, Groups: errandGroups(d, v.today()), Address: v.s.opt.Address}
	if view.Address != "" && v.May("SaveSettings") {
		view.QR, view.QRSize = qrPath(view.Address)
	}
	return v.page("today", v.T("today"), view)
}

// qrPath draws a QR code (ISO/IEC 18004) as the path of an SVG, a unit a module,
// with the quiet zone around it.
func qrPath(text string) (path string, size int) {
	const quiet = 4
	code, err := go_qr.EncodeText(text, go_qr.Medium)
	if err != nil {
		return "", 0
	}
	var b strings.Builder
	for y := range code.Size() {
		for x := range code.Size() {
			if code.Module(x, y) {
				b.WriteString("M" + itoa(x+quiet) + " " + itoa(y+quiet) + "h1v1h-1z")
			}
		}
	}
	return b.String(), code.Size() + 2*quiet
}

// searchView is what was found.
type searchView struct {
	Words string
	Found []workshop.Found
}

func search(v *visit) error {
	words := cut(v.r.URL.Query().Get("q"))
	found, err := v.s.house.Search(v.r.Context(), v.Person, words)
	if err != nil {
		return err
	}
	return v.page("search", v.T("search"), searchView{words, found})
}

// rooms are where a thing of each kind has its page.
var rooms = map[string]string{
	"order": "/orders/", "customer": "/customers/", "cloth": "/cloths/", "figure": "/figures/",
	"lot": "/yarn/", "member": "/members/", "job": "/work/", "piece": "/pieces/", "dyeing": "/dye/", "recipe": "/recipes/", "supply": "/supplies/",
	"hook": "/settings/hooks/", "pay": "/pay/",
}

// Link is where a thing has its page: its own, or that of what it is part of;
// empty if it has none.
func (v *visit) Link(kind, id string) string {
	whole, part, _ := strings.Cut(id, ".")
	switch kind {
	case "settings":
		return "/settings"
	case "calendar": // a day of it
		return "/calendar?day=" + id
	case "sample": // has no page of its own, nor does the history know its recipe
		return "/recipes"
	case "trial":
		return "/yarn"
	case "frozen":
		return rooms["order"] + whole
	case "date":
		return rooms["order"] + whole + "/date"
	case "question":
		return "/questions"
	case "supplies":
		return "/supplies?q=" + escape(id)
	case "purchase":
		return rooms["supply"] + whole
	case "version":
		return rooms["cloth"] + whole + "?v=" + part
	}
	if room, ok := rooms[kind]; ok {
		return room + id
	}
	return ""
}

// Called is what a thing is called on a page: supplies are kept by keys and Latin
// names.
func (v *visit) Called(kind, name string) (string, error) {
	if kind != "supply" && kind != "supplies" {
		return name, nil
	}
	if dye.SubstanceOf(name) != nil {
		return v.T("substance-" + name), nil
	}
	all, err := v.stuffs()
	return stuffOf(all, name).Name, err
}

func history(v *visit) error {
	q := v.r.URL.Query()
	deeds, err := v.s.house.History(v.r.Context(), v.Person, q.Get("kind"), q.Get("id"), 200)
	if err != nil {
		return err
	}
	return v.page("history", v.T("history"), deeds)
}

// restore puts a thing back as it was before its last change.
func restore(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	kind, id := v.r.PathValue("kind"), v.r.PathValue("id")
	if err := v.s.house.Restore(v.r.Context(), v.Person, kind, id, f.revision()); err != nil {
		return err
	}
	return v.to(v.Link(kind, id), "undone")
}
