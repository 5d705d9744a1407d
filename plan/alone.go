package plan

import (
	"urdir/figure"
	"urdir/measure"
)

// Colours of threads for a figure that has none of its own yet.
var aloneColours = []string{"#2b4470", "#8f2438", "#c9952f", "#5b6a38", "#5a4132", "#2f6f70", "#b87d78", "#56626b"}

// Alone is a figure as it can be drawn outside any cloth, at a usual sett and
// picks (22 and 6 a cm, common practice). ok is false for a chart without rows.
func Alone(f Figure) (p Plan, c *Chart, ok bool) {
	const sett, picks measure.PerCM = 22, 6
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
		Width: f.Chart.Width(sett), Height: f.Chart.Height(picks), Reading: figure.Read(f.Chart),
	}}
	return p, &p.Figures[0], true
}
