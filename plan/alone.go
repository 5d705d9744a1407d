package plan

import (
	"urdir/figure"
	"urdir/measure"
)

// Colours of threads for a figure that has none of its own yet.
var aloneColours = []string{"#2b4470", "#8f2438", "#c9952f", "#5b6a38", "#5a4132", "#2f6f70", "#b87d78", "#56626b"}

// A usual sett, picks and limit, for figures outside any cloth (common practice).
const (
	AloneSett  measure.PerCM = 22
	AlonePicks measure.PerCM = 6
	AloneFloat measure.MM    = 30 // longest float of a new figure
)

// Alone is a figure as it can be drawn outside any cloth, at a usual sett and
// picks. ok is false for a chart without rows.
func Alone(f Figure) (p Plan, c *Chart, ok bool) {
	if f.Chart.Rows() == 0 || f.Chart.Cell.Ends == 0 || f.Chart.Cell.Picks == 0 {
		return p, nil, false
	}
	cloth := Cloth{}
	for i, s := range f.Chart.Symbols() {
		cloth.Yarns = append(cloth.Yarns, Yarn{Key: s.Yarn, Label: s.Yarn})
		p.Yarns = append(p.Yarns, YarnNeed{Key: s.Yarn, Label: s.Yarn, Hatch: i, Colour: aloneColours[i%len(aloneColours)]})
	}
	for i, l := range (&maker{in: cloth}).letters() {
		p.Yarns[i].Letter = l
	}
	p.Figures = []Chart{{
		Key: f.Key, Chart: f.Chart, Kind: f.Chart.Kind, Colours: colours(f.Chart), Columns: f.Chart.Columns(), Rows: f.Chart.Rows(),
		CellEnds: f.Chart.Cell.Ends, CellPicks: f.Chart.Cell.Picks,
		Width: f.Chart.Width(AloneSett), Height: f.Chart.Height(AlonePicks), Reading: figure.Read(f.Chart),
	}}
	return p, &p.Figures[0], true
}
