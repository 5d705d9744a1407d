package plan

import (
	"strings"
	"time"

	"urdir/check"
	"urdir/measure"
	"urdir/yarn"
)

// Limits of what a person can mean. They are wide: a cloth outside them is a
// slip of the pen.
const (
	maxPieces                = 1000
	maxSize    measure.CM    = 2000
	maxSett    measure.PerCM = 150
	maxPicks   measure.PerCM = 100
	maxShrink  measure.Ratio = 0.6
	maxParts                 = 60 // yarns, warps, panels or figures
	maxStrands               = 24
)

// validate finds what is out of bounds in the cloth as written, before anything
// is reckoned from it.
func (m *maker) validate() {
	c := m.in
	m.between("order.pieces", float64(c.Pieces), 1, maxPieces)
	m.between("class.learners", float64(c.Learners), 0, maxPieces)
	m.between("shrinkage.length", float64(c.Shrink.Length), 0, float64(maxShrink))
	m.between("shrinkage.width", float64(c.Shrink.Width), 0, float64(maxShrink))
	m.between("flatness", float64(c.Flatness), 0.3, 1)
	m.between("spare", float64(c.Spare), 0, 1)
	m.between("crimp", float64(c.Crimp), 0, 0.5)
	m.between("picks", float64(c.Picks), 0, float64(maxPicks))
	if c.Name == "" {
		m.ps.Wrong("name", "name-missing", nil)
	}
	if c.Due != "" {
		if _, err := time.Parse(time.DateOnly, c.Due); err != nil {
			m.ps.Wrong("order.due", "date-unread", check.Args{"text": c.Due})
		}
	}
	m.count("yarns", len(c.Yarns))
	m.count("warps", len(c.Warps))
	m.count("panels", len(c.Panels))
	if len(c.Figures) > maxParts {
		m.count("figures", len(c.Figures))
	}
	m.validateYarns()
	m.knownYarn("weft", c.Weft)
	m.validateWarps()
	m.validatePanels()
	m.validateFigures()
	for _, k := range c.Kit {
		if k.Each < 0 || k.All < 0 || k.Each > maxPieces || k.All > maxPieces || k.Name == "" {
			m.ps.Wrong("kit", "kit-item", check.Args{"item": k.Name})
		}
	}
	if c.Frame != nil {
		m.ps.Under("frame", c.Frame.Validate())
	}
}

// between checks a plain number against its bounds.
func (m *maker) between(path string, v, low, high float64) {
	if !(v >= low && v <= high) {
		m.ps.Wrong(path, "out-of-range", check.Args{"value": v, "low": low, "high": high})
	}
}

// size checks a length against zero and maxSize.
func (m *maker) size(path string, v, low measure.CM) {
	if !(v >= low && v <= maxSize) {
		m.ps.Wrong(path, "size-out-of-range", check.Args{"value": v, "low": low, "high": maxSize})
	}
}

func (m *maker) count(path string, n int) {
	switch {
	case n == 0:
		m.ps.Wrong(path, path+"-none", nil)
	case n > maxParts:
		m.ps.Wrong(path, "parts-too-many", check.Args{"count": n, "most": maxParts})
	}
}

func (m *maker) validateYarns() {
	for _, y := range m.in.Yarns {
		at := "yarns." + y.Key
		if y.Colour == "" {
			m.ps.Wrong(at, "colour-missing", check.Args{"yarn": y.Label})
		} else if !isColour(y.Colour) {
			m.ps.Wrong(at+".colour", "colour-unread", check.Args{"text": y.Colour})
		}
		if len([]rune(y.Letter)) > 2 {
			m.ps.Wrong(at+".letter", "letter-long", check.Args{"letter": y.Letter})
		}
		if y.Fibre != "" && !yarn.KnownFibre(y.Fibre) {
			m.ps.Wrong(at+".fibre", "fibre-unknown", check.Args{"fibre": y.Fibre, "known": strings.Join(yarn.Fibres(), ", ")})
		}
		m.between(at+".strands", float64(y.Spec.Strands), 1, maxStrands)
		if y.Skein < 0 || y.Skein > 1e6 {
			m.ps.Wrong(at+".hank", "mass-out-of-range", check.Args{"value": y.Skein})
		}
		if !isKey(y.Dye) {
			m.ps.Wrong(at+".dye", "dye-recipe-key", check.Args{"text": y.Dye})
		}
		if !(y.Share >= 0 && y.Share <= maxDyestuff) || y.Share > 0 && y.Dye == "" {
			m.ps.Wrong(at+".dyestuff", "dye-strength", check.Args{"value": y.Share, "most": maxDyestuff})
		}
	}
}

// maxDyestuff is beyond what any recipe takes: fresh leaves at six times the weight.
const maxDyestuff measure.Ratio = 6

// isKey says whether a text can be the key of a recipe; empty is none.
func isKey(s string) bool {
	return len(s) <= 80 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789-") == ""
}

// knownYarn checks that a yarn that is named is one of the cloth's.
func (m *maker) knownYarn(path, key string) {
	for _, y := range m.in.Yarns {
		if y.Key == key {
			return
		}
	}
	if key != "" {
		m.once(path, "yarn-unknown", check.Args{"yarn": key, "known": m.yarnKeys()})
	}
}

// isColour reads "#rrggbb".
func isColour(s string) bool {
	if len(s) != 7 || s[0] != '#' {
		return false
	}
	for _, c := range s[1:] {
		if !strings.ContainsRune("0123456789abcdefABCDEF", c) {
			return false
		}
	}
	return true
}

func (m *maker) validateWarps() {
	for _, w := range m.in.Warps {
		at := "warps." + w.Key
		m.knownYarns(w.Order.Items, at+".stripes", 1)
		m.knownYarns(w.Order.Border, at+".border", 1)
		if w.Sett == 0 {
			m.ps.Wrong(at, "sett-missing", check.Args{"warp": w.Key})
		} else {
			m.between(at+".sett", float64(w.Sett), 0.5, float64(maxSett))
		}
		m.between(at+".balls", float64(w.Balls), 1, 12)
		m.between(at+".check", float64(w.Check), 1, 200)
		m.size(at+".waste", w.Waste, 0)
		m.size(at+".between", w.Between, 0)
		m.size(at+".heddle", w.Heddle, 1)
		m.between(at+".measured.take-up", float64(w.MeasuredTakeUp), 0, 0.6)
		m.between(at+".measured.pieces", float64(w.MeasuredPieces), 0, 1e6)
	}
}

func (m *maker) validatePanels() {
	warps := map[string]bool{}
	keys := make([]string, len(m.in.Warps))
	for i, w := range m.in.Warps {
		warps[w.Key], keys[i] = true, w.Key
	}
	for _, p := range m.in.Panels {
		at := "panels." + p.Key
		if !warps[p.Warp] {
			m.ps.Wrong(at+".warp", "warp-unknown", check.Args{"warp": p.Warp, "known": strings.Join(keys, ", ")})
		}
		m.between(at+".count", float64(p.Count), 1, maxPieces)
		m.size(at+".width", p.Width, 0)
		m.size(at+".length", p.Length, 0)
		m.size(at+".seam.left", p.Seam.Left, 0)
		m.size(at+".seam.right", p.Seam.Right, 0)
		m.size(at+".seam.top", p.Seam.Top, 0)
		m.size(at+".seam.bottom", p.Seam.Bottom, 0)
		m.validateTied(p.Tied, at+".tied")
		m.validateBands(expandBands(p.Bands, at+".bands", 1, &check.Problems{}))
	}
}

func (m *maker) validateBands(bands []flatBand) {
	for _, b := range bands {
		m.knownYarn(b.path+".weft", b.Weft)
		if b.Length < 0 || b.Length > maxSize {
			m.once(b.path, "size-out-of-range", check.Args{"value": b.Length, "low": measure.CM(0), "high": maxSize})
		}
		if b.Picks < 0 || b.Picks > maxPicks {
			m.once(b.path+".picks", "out-of-range", check.Args{"value": float64(b.Picks), "low": 0.0, "high": float64(maxPicks)})
		}
		for _, v := range []measure.CM{b.Under, b.Place.Spacing, b.Place.Margin} {
			if v < 0 || v > maxSize {
				m.once(b.path, "size-out-of-range", check.Args{"value": v, "low": measure.CM(0), "high": maxSize})
			}
		}
		if b.Twist < 0 || b.Twist > 1 {
			m.once(b.path+".twist", "out-of-range", check.Args{"value": float64(b.Twist), "low": 0.0, "high": 1.0})
		}
		if b.Place.Count < 0 || b.Place.Count > 1000 {
			m.once(b.path+".count", "out-of-range", check.Args{"value": float64(b.Place.Count), "low": 1.0, "high": 1000.0})
		}
		if b.Place.Upright < 1 || b.Place.Upright > 1000 {
			m.once(b.path+".upright", "out-of-range", check.Args{"value": float64(b.Place.Upright), "low": 1.0, "high": 1000.0})
		}
	}
}

func (m *maker) validateFigures() {
	for _, f := range m.in.Figures {
		at := "figures." + f.Key
		m.between(at+".cell.ends", float64(f.Chart.Cell.Ends), 1, 60)
		m.between(at+".cell.picks", float64(f.Chart.Cell.Picks), 1, 60)
		m.between(at+".float", float64(f.Chart.Limit), 0, 500)
		if f.Owner != "" && f.Sale == "" {
			m.ps.Wrong(at, "figure-sale-unsaid", check.Args{"figure": f.Key, "owner": f.Owner})
		}
	}
}
