package web

import (
	"net/http"
	"strings"

	"urdir/clothfile"
	"urdir/internal/workshop"
)

// bringPage is the form that takes a cloth file in.
func bringPage(v *visit) error { return v.page("cloth-bring", v.T("cloth-bring"), bringView{}) }

// bringView is a cloth file on its way in.
type bringView struct {
	Name, Text string
	Made       workshop.Planned
}

// Line is the line of the file a problem stands in; 0 if in none.
func (b bringView) Line(path string) int {
	at, ok := b.Made.Source.Locate(path)
	if !ok {
		return 0
	}
	return at.Line
}

// bring makes a cloth of a file. One with errors is shown with them, line by
// line, to be mended, or to be kept as it is.
func bring(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view := bringView{Name: strings.TrimSpace(f.text("name")), Text: f.text("text")}
	sent, err := v.sent(f, "file", clothfile.MaxBytes)
	if err != nil {
		return err
	}
	if sent != "" {
		view.Text = sent
	}
	if strings.TrimSpace(view.Text) == "" && !f.ps.Failed() {
		f.ps.Wrong("file", "file-empty", nil)
	}
	if err = f.err(); err != nil {
		return v.again(err, "cloth-bring", v.T("cloth-bring"), view)
	}
	view.Made = workshop.Sheet{Text: view.Text}.Make()
	if view.Name == "" {
		c, _, _ := clothfile.Read([]byte(view.Text))
		view.Name = strings.TrimSpace(c.Name)
	}
	if view.Made.Failed() && !f.yes("anyhow") || view.Name == "" {
		if view.Name == "" && !view.Made.Failed() {
			f.ps.Wrong("name", "field-empty", nil)
		}
		v.Problems, v.Title, v.Data = f.ps, v.T("cloth-bring"), view
		return v.s.render(v, http.StatusUnprocessableEntity, "cloth-bring")
	}
	c, err := v.s.house.SaveCloth(v.r.Context(), v.Person, workshop.Kept[workshop.Cloth]{Value: workshop.Cloth{Name: view.Name, Text: view.Text}})
	if err != nil {
		return v.again(err, "cloth-bring", v.T("cloth-bring"), view)
	}
	return v.to("/cloths/"+c.ID, "saved")
}
