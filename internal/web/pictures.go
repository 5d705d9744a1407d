package web

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"

	"urdir/draw"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/plan"
	"urdir/sheet"
	"urdir/surface"
)

// send writes a picture or a document.
func (v *visit) send(kind, name string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Content-Type", kind)
	h.Set("Cache-Control", "private, max-age=60")
	if name != "" {
		h.Set("Content-Disposition", `inline; filename="`+name+`"`)
	}
	if kind == "image/svg+xml" {
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'")
	}
	_, _ = b.WriteTo(v.w) // the browser went away
	return nil
}

// picture draws on a size of paper and sends it as SVG.
func (v *visit) picture(title string, w, h measure.MM, paint func(surface.Surface, surface.Box)) error {
	return v.send("image/svg+xml", "", func(to io.Writer) error {
		s := surface.NewSVG(w, h, title)
		paint(s, surface.Box{W: w, H: h})
		_, err := s.WriteTo(to)
		return err
	})
}

// wholeCloth sends the picture of a piece.
func (v *visit) wholeCloth(m workshop.Planned) error {
	if m.Failed() {
		return &workshop.Error{Code: workshop.NotFound}
	}
	const longest = 240
	aspect := measure.MM(draw.Aspect(m.Plan))
	w, h := measure.MM(longest)*aspect, measure.MM(longest)
	if w > longest {
		w, h = longest, longest/aspect
	}
	return v.picture(m.Plan.Name, max(w, 6), max(h, 6), func(s surface.Surface, box surface.Box) { draw.Cloth(s, box, m.Plan) })
}

func clothPicture(v *visit) error {
	_, made, err := v.s.house.Cloth(v.r.Context(), v.Person, v.r.PathValue("id"), v.version())
	if err != nil {
		return err
	}
	return v.wholeCloth(made)
}

// clothDetail is the lens, as pixels: thread by thread it is too much for SVG.
func clothDetail(v *visit) error {
	_, made, err := v.s.house.Cloth(v.r.Context(), v.Person, v.r.PathValue("id"), v.version())
	if err != nil {
		return err
	}
	return v.lens(made)
}

// lens sends a cloth under the lens.
func (v *visit) lens(made workshop.Planned) error {
	if made.Failed() {
		return &workshop.Error{Code: workshop.NotFound}
	}
	return v.send("image/png", "", func(w io.Writer) error {
		s := surface.NewPNG(120, 90, 960)
		draw.Lens(s, surface.Box{W: 120, H: 90}, made.Plan)
		_, err := s.WriteTo(w)
		return err
	})
}

func orderLine(v *visit) (workshop.LineView, error) {
	o, err := v.s.house.Order(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return workshop.LineView{}, err
	}
	for _, l := range o.Lines {
		if l.ID == v.r.PathValue("line") && !l.Made.Failed() {
			return l, nil
		}
	}
	return workshop.LineView{}, &workshop.Error{Code: workshop.NotFound}
}

func orderCloth(v *visit) error {
	l, err := orderLine(v)
	if err != nil {
		return err
	}
	return v.wholeCloth(l.Made)
}

// sheets sends all sheets of a plan as one document.
func (v *visit) sheets(p plan.Plan) error {
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	return v.send("application/pdf", fileName(p.Name)+".pdf", func(w io.Writer) error { return sheet.PDF(w, p, o) })
}

func (v *visit) sheetOptions() (sheet.Options, error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	o := sheet.Options{Language: v.Words.Tag, Paper: sheet.A4}
	if set.Value.Paper == "letter" {
		o.Paper = sheet.Letter
	}
	return o, err
}

// sheetPage sends one page as a picture for a telephone.
func (v *visit) sheetPage(p plan.Plan) error {
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	name := v.r.PathValue("page")
	n, err := strconv.Atoi(strings.TrimSuffix(name, ".png"))
	if err != nil || n < 1 {
		return &workshop.Error{Code: workshop.NotFound}
	}
	found := false
	return v.send("image/png", fmt.Sprintf("%s-%d.png", fileName(p.Name), n), func(w io.Writer) error {
		at := 0
		err := sheet.Pictures(p, o, func(page sheet.Page) error {
			if at++; at != n {
				return nil
			}
			found = true
			_, err := page.PNG.WriteTo(w)
			return err
		})
		if err == nil && !found {
			err = &workshop.Error{Code: workshop.NotFound}
		}
		return err
	})
}

// fileName is a name that every system takes.
func fileName(s string) string {
	var b strings.Builder
	for _, r := range workshop.Fold(s) {
		switch {
		case r == 'ñ':
			b.WriteByte('n')
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0:
			b.WriteByte('-')
		}
	}
	if name := strings.Trim(b.String(), "-"); name != "" {
		return name
	}
	return "urdir"
}

// Pages lists the pages of a plan's sheets, to be chosen from on a telephone.
func (v *visit) Pages(p plan.Plan) ([]string, error) {
	o, err := v.sheetOptions()
	if err != nil {
		return nil, err
	}
	return sheet.Names(p, o)
}

// ForWork is the plan as its weaver gets it.
func (v *visit) ForWork(j workshop.JobView) plan.Plan { return forWork(j) }

// PageName says what stands on a page.
func (v *visit) PageName(name string) string {
	kind, of, _ := strings.Cut(name, "-")
	return strings.TrimSpace(v.T("page-"+kind) + " " + of)
}

func orderSheets(v *visit) error {
	l, err := orderLine(v)
	if err != nil {
		return err
	}
	return v.sheets(l.Made.Plan)
}

func orderSheetPage(v *visit) error {
	l, err := orderLine(v)
	if err != nil {
		return err
	}
	return v.sheetPage(l.Made.Plan)
}

func clothSheets(v *visit) error {
	_, made, err := v.s.house.Cloth(v.r.Context(), v.Person, v.r.PathValue("id"), v.version())
	if err != nil {
		return err
	}
	if made.Failed() {
		return &workshop.Error{Code: workshop.NotFound}
	}
	return v.sheets(made.Plan)
}

// clothDownload sends the cloth file itself.
func clothDownload(v *visit) error {
	c, _, err := v.s.house.Cloth(v.r.Context(), v.Person, v.r.PathValue("id"), 0)
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "application/yaml; charset=utf-8")
	v.w.Header().Set("Content-Disposition", `attachment; filename="`+fileName(c.Value.Name)+`.yaml"`)
	http.ServeContent(v.w, v.r, "", zeroTime, strings.NewReader(c.Value.Text))
	return nil
}

func (v *visit) jobPlan() (workshop.JobView, error) {
	return v.s.house.Job(v.r.Context(), v.Person, v.r.PathValue("id"))
}

func jobSheets(v *visit) error {
	j, err := v.jobPlan()
	if err != nil {
		return err
	}
	return v.sheets(forWork(j))
}

func jobSheetPage(v *visit) error {
	j, err := v.jobPlan()
	if err != nil {
		return err
	}
	return v.sheetPage(forWork(j))
}

// forWork leaves in a plan only what the one who weaves this warp needs; for
// whom it is and by when is not her business.
func forWork(j workshop.JobView) plan.Plan {
	p := j.Made.Plan
	p.Customer, p.Due = "", ""
	p.Warps = []plan.WarpPlan{*j.Warp}
	var panels []plan.PanelPlan
	used := map[string]bool{}
	for _, i := range j.Panels {
		panels = append(panels, p.Panels[i])
		for _, b := range p.Panels[i].Bands {
			if b.Figure != nil {
				used[b.Figure.Key] = true
			}
		}
	}
	p.Panels = panels
	var figs []plan.Chart
	for _, f := range p.Figures {
		if used[f.Key] {
			figs = append(figs, f)
		}
	}
	p.Figures = figs
	return p
}

func jobCloth(v *visit) error {
	j, err := v.jobPlan()
	if err != nil {
		return err
	}
	return v.wholeCloth(j.Made)
}

// figurePicture draws a figure's chart by itself.
func figurePicture(v *visit) error {
	k, err := v.s.house.Figure(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	p, c, ok := k.Value.Drawn()
	if !ok {
		return &workshop.Error{Code: workshop.NotFound}
	}
	if err := v.dye(&p); err != nil {
		return err
	}
	box := surface.Box{W: 140, H: 110}
	h := draw.ChartHeight(box, c) + 4
	return v.picture(k.Value.Name, box.W, h, func(s surface.Surface, b surface.Box) {
		s.Rect(b, surface.White)
		draw.Chart(s, b, p, c, v.Words)
	})
}
