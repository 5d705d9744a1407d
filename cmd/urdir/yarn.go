package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/cloth"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/yarn"
)

// hundredGrams is the mass skeins are commonly compared by.
const hundredGrams measure.Gram = 100

// yarnReport is the result of the yarn command, and its JSON. "strand" is the
// yarn as bought, "end" all its strands together. Numbers of a system are in
// that system's own unit.
type yarnReport struct {
	Name string `json:"yarn"`
	yarn.Thread
	Wraps           measure.PerCM `json:"wraps_per_cm"`
	StrandInHundred measure.M     `json:"strand_in_100_g_m"`
	EndInHundred    measure.M     `json:"end_in_100_g_m"`
	CoverLow        measure.Ratio `json:"warp_faced_cover_low_fraction"`
	CoverHigh       measure.Ratio `json:"warp_faced_cover_high_fraction"`
	SettLow         measure.PerCM `json:"warp_faced_sett_low_per_cm"`
	SettHigh        measure.PerCM `json:"warp_faced_sett_high_per_cm"`
	Balanced        measure.PerCM `json:"balanced_sett_at_most_per_cm"` // plain weave (Ashenhurst)
	Systems         []inSystem    `json:"systems"`
	Problems        []problem     `json:"problems"`

	count yarn.Count // as read; zero for a skein
}

// inSystem is the yarn numbered in one system: as a count is written, with its
// plies (empty for a skein, whose plies are not known), and the strand and the
// end as if each were a single thread.
type inSystem struct {
	System yarn.System `json:"system"`
	Count  string      `json:"count,omitempty"`
	Strand yarnNumber  `json:"strand"`
	End    yarnNumber  `json:"end"`
}

// yarnNumber is rounded to five figures in JSON; nobody measures more.
type yarnNumber float64

func (n yarnNumber) MarshalJSON() ([]byte, error) {
	v, err := n.rounded()
	return strconv.AppendFloat(nil, v, 'f', -1, 64), err
}

func (n yarnNumber) rounded() (float64, error) {
	return strconv.ParseFloat(strconv.FormatFloat(float64(n), 'g', 5, 64), 64)
}

// yarnFlags is what was typed.
type yarnFlags struct {
	strands              int
	volume, wraps, skein string
}

func newYarnCommand(a *app) *cobra.Command {
	var f yarnFlags
	w := a.words
	c := &cobra.Command{
		Use:   "yarn " + w.T("yarn-args", nil),
		Short: w.T("yarn-about", nil),
		Long:  w.T("yarn-about-long", nil),
		Example: `  urdir yarn "Ne 20/2" --strands 2
  urdir yarn --skein "100 m, 29.5 g" --wraps "14 /cm"`,
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 1),
		RunE: func(_ *cobra.Command, args []string) error {
			spec, err := f.spec(args)
			if err != nil {
				return err
			}
			name := w.T("yarn-skein-name", check.Args{"text": f.skein})
			if len(args) > 0 {
				name = args[0]
			}
			return a.yarn(spec, name)
		},
	}
	c.Flags().IntVar(&f.strands, "strands", 1, w.T("yarn-flag-strands", nil))
	c.Flags().StringVar(&f.volume, "volume", "", w.T("yarn-flag-volume", nil))
	c.Flags().StringVar(&f.wraps, "wraps", "", w.T("yarn-flag-wraps", nil))
	c.Flags().StringVar(&f.skein, "skein", "", w.T("yarn-flag-skein", nil))
	return c
}

// spec reads the yarn; everything that cannot be read is reported at once.
func (f yarnFlags) spec(args []string) (s yarn.Spec, err error) {
	if len(args) == 0 && f.skein == "" {
		return s, mistake("", "yarn-nothing", nil)
	}
	s.Strands = f.strands
	var found stopped
	if len(args) > 0 {
		s.Count, err = yarn.ParseCount(args[0])
		found = append(found, unread("", err)...)
	}
	if f.volume != "" {
		s.Volume, err = measure.ParseSpecificVolume(f.volume)
		found = append(found, unread("--volume", err)...)
	}
	if f.wraps != "" {
		s.Wraps, err = measure.ParseDensity(f.wraps)
		found = append(found, unread("--wraps", err)...)
	}
	if f.skein != "" {
		var more stopped
		s.SkeinLength, s.SkeinMass, more = readSkein(f.skein)
		found = append(found, more...)
	}
	if len(found) > 0 {
		return s, found
	}
	return s, nil
}

func readSkein(text string) (measure.M, measure.Gram, stopped) {
	const where = "--skein"
	length, mass, ok := cutSkein(text)
	if !ok {
		return 0, 0, stopped{{File: where, Problem: check.Problem{Code: "skein-unread", Args: check.Args{"text": text}}}}
	}
	l, err := measure.ParseLength(length)
	found := unread(where, err)
	m, err := measure.ParseMass(mass)
	return l.M(), m, append(found, unread(where, err)...)
}

// cutSkein divides "100 m, 29,5 g" at the comma after the first unit: a comma
// after a figure belongs to the number.
func cutSkein(s string) (length, mass string, ok bool) {
	for i, r := range s {
		before := strings.TrimSpace(s[:i])
		if r == ',' && before != "" && unicode.IsLetter(rune(before[len(before)-1])) {
			mass = strings.TrimSpace(s[i+1:])
			return before, mass, mass != ""
		}
	}
	return "", "", false
}

// yarn prints the yarn under its name as written.
func (a *app) yarn(spec yarn.Spec, name string) error {
	th, ps := spec.Thread()
	found := onOptions(ps)
	if ps.Failed() {
		return found
	}
	r := reportYarn(spec, th)
	r.Name, r.Problems = name, a.problems(found)
	if a.json {
		return a.printJSON(r)
	}
	a.printYarn(r)
	a.tell(found)
	return nil
}

// onOptions names the option each problem came with.
func onOptions(ps check.Problems) stopped {
	found := make(stopped, len(ps))
	for i, p := range ps {
		found[i] = located{Problem: p}
		if p.Path != "" && p.Path != "count" {
			found[i].File = "--" + p.Path
		}
	}
	return found
}

// reportYarn gathers the figures.
func reportYarn(spec yarn.Spec, th yarn.Thread) yarnReport {
	r := yarnReport{
		Thread:          th,
		count:           spec.Count,
		Wraps:           cloth.SettFor(1, th.Diameter),
		StrandInHundred: th.StrandTex.Length(hundredGrams),
		EndInHundred:    th.Tex.Length(hundredGrams),
		CoverLow:        cloth.WarpFacedLow,
		CoverHigh:       cloth.WarpFacedHigh,
		SettLow:         cloth.SettFor(cloth.WarpFacedLow, th.Diameter),
		SettHigh:        cloth.SettFor(cloth.WarpFacedHigh, th.Diameter),
	}
	r.Balanced = cloth.Ashenhurst(r.Wraps, 2, 2)
	for _, s := range yarn.Systems() {
		n := inSystem{System: s, Strand: single(th.StrandTex, s), End: single(th.Tex, s)}
		if c := spec.Count.In(s); spec.Count.Number != 0 {
			c.Number, _ = yarnNumber(c.Number).rounded() // of a number just written, it cannot fail
			n.Count = c.String()
		}
		r.Systems = append(r.Systems, n)
	}
	return r
}

// single numbers a thread in a system as if it had one ply.
func single(t measure.Tex, s yarn.System) yarnNumber {
	return yarnNumber(yarn.Count{System: yarn.Tex, Number: float64(t), Plies: 1}.In(s).Number)
}

// printYarn prints the report for a person.
func (a *app) printYarn(r yarnReport) {
	w := a.words
	fmt.Fprintf(a.out, "%s\n\n", a.strong(w.N("yarn-title", r.Strands, check.Args{"yarn": r.Name})))
	t := table{indent: 2, numbers: true}
	if r.Strands > 1 {
		t.add("", w.T("yarn-column-strand", nil), w.T("yarn-column-end", nil))
		t.add(w.T("yarn-density", nil), w.S(r.StrandTex), w.S(r.Tex))
		t.add(w.T("yarn-in-100-g", nil), w.S(r.StrandInHundred), w.S(r.EndInHundred))
	} else {
		t.add(w.T("yarn-density", nil), w.S(r.Tex))
		t.add(w.T("yarn-in-100-g", nil), w.S(r.EndInHundred))
	}
	t.print(a.out)

	source := w.T("yarn-measured", nil)
	if !r.Measured {
		source = w.T("yarn-reckoned", check.Args{"volume": r.Volume})
	}
	t = table{indent: 2}
	t.add(w.T("yarn-diameter", nil), w.S(r.Diameter), source)
	t.add(w.T("yarn-wraps-label", nil), w.S(r.Wraps))
	fmt.Fprintln(a.out)
	t.print(a.out)

	t = table{indent: 2}
	t.add(w.T("yarn-warp-faced", nil), w.T("yarn-range", check.Args{"low": w.Num(float64(r.SettLow), 1), "high": r.SettHigh}),
		w.T("yarn-cover", check.Args{"low": float64(r.CoverLow), "high": float64(r.CoverHigh)}))
	t.add(w.T("yarn-balanced", nil), w.S(r.Balanced))
	fmt.Fprintf(a.out, "\n%s\n", a.heading("yarn-sett"))
	t.print(a.out)
	a.printSystems(r)
}

func (a *app) printSystems(r yarnReport) {
	w := a.words
	t := table{indent: 2, numbers: true}
	row := func(name, written, strand, end string) {
		cells := []string{name}
		if r.count.Plies > 1 {
			cells = append(cells, written)
		}
		cells = append(cells, strand)
		if r.Strands > 1 {
			cells = append(cells, end)
		}
		t.add(cells...)
	}
	row("", w.T("yarn-column-written", nil), w.T("yarn-column-strand", nil), w.T("yarn-column-end", nil))
	for _, s := range r.Systems {
		name, code := w.T("system-"+string(s.System), nil), string(s.System)
		if name != code {
			name = code + ", " + name
		}
		row(name, a.writtenCount(r.count.In(s.System)), figures(w, s.Strand), figures(w, s.End))
	}
	fmt.Fprintf(a.out, "\n%s\n", a.heading("yarn-systems"))
	t.print(a.out)
}

// writtenCount is a count as it is written in its system, less the system's
// name, which stands beside it.
func (a *app) writtenCount(c yarn.Count) string {
	n := figures(a.words, yarnNumber(c.Number))
	switch c.System {
	case yarn.Tex, yarn.Decitex, yarn.Denier, yarn.Grain, yarn.YardsPerPound:
		return fmt.Sprintf("%s x %d", n, c.Plies)
	}
	return fmt.Sprintf("%s/%d", n, c.Plies)
}

// figures writes a yarn number to four figures, as tables of counts do.
func figures(w *lang.Words, n yarnNumber) string {
	const most = 4
	decimals := most
	if n > 0 {
		decimals = most - 1 - int(math.Floor(math.Log10(float64(n))))
	}
	return w.Num(float64(n), min(most, max(0, decimals)))
}
