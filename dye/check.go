package dye

import (
	"fmt"
	"slices"
	"strings"

	"urdir/check"
	"urdir/measure"
)

// What a recipe may say. The ratios are beyond anything a handbook gives.
const (
	leastLiquor  measure.LPerKG   = 3
	mostLiquor   measure.LPerKG   = 200
	mostChemical measure.Ratio    = 1   // of the weight of fibre
	mostPlant    measure.Ratio    = 2   // avocado stone has been tried at 200 %
	mostFresh    measure.Ratio    = 6   // fresh leaves: villages use up to 500 %
	mostPerLitre measure.PerLitre = 250 // g/L
	mostTime     measure.Minute   = 60 * measure.Day
	mostRate     measure.CPerMin  = 10
	mostTimes                     = 10
	mostDips                      = 60
	mostParts    measure.Count    = 20
	mostSteps                     = 60
	ironWeakens  measure.Ratio    = 0.04 // from memory: above it iron makes fibre brittle
)

// Check finds everything that is wrong with a recipe, at the boiling point of a
// height above the sea.
func Check(r Recipe, height measure.M) check.Problems {
	c := checker{r: r, boils: BoilingPoint(height)}
	if r.Fibre != Cellulose && r.Fibre != Protein {
		c.Wrong("fibre", "dye-fibre", check.Args{"text": string(r.Fibre)})
	}
	c.liquor("liquor", r.Liquor, false)
	if r.Left < 0 || r.Left >= 1 {
		c.Wrong("left", "out-of-range", check.Args{"value": r.Left, "low": measure.Ratio(0), "high": measure.Ratio(0.99)})
	}
	if len(r.Steps) == 0 || len(r.Steps) > mostSteps {
		c.Wrong("steps", "dye-steps", check.Args{"count": len(r.Steps), "most": mostSteps})
	}
	for i := range r.Steps {
		c.step(i)
	}
	return c.Problems
}

type checker struct {
	check.Problems
	r     Recipe
	boils measure.Celsius
}

func (c *checker) liquor(path string, l measure.LPerKG, optional bool) {
	if optional && l == 0 {
		return
	}
	if l < leastLiquor || l > mostLiquor {
		c.Wrong(path, "out-of-range", check.Args{"value": l, "low": leastLiquor, "high": mostLiquor})
	}
}

func (c *checker) time(path string, t measure.Minute) {
	if t < 0 || t > mostTime {
		c.Wrong(path, "dye-time", check.Args{"time": t, "most": mostTime})
	}
}

func (c *checker) step(i int) {
	s, at := c.r.Steps[i], fmt.Sprintf("steps[%d]", i)
	if !slices.Contains(Kinds, s.Kind) {
		c.Wrong(at+".kind", "dye-kind", check.Args{"text": string(s.Kind)})
	}
	c.liquor(at+".liquor", s.Liquor, true)
	if s.Same && (i == 0 || !c.r.Steps[i-1].Kind.wet() || c.r.Steps[i-1].times() > 1) {
		c.Wrong(at+".same-bath", "dye-same-bath", nil)
	}
	if s.Times < 0 || s.Times > mostTimes {
		c.Wrong(at+".waters", "out-of-range", check.Args{"value": s.Times, "low": 1, "high": mostTimes})
	}
	c.time(at+".work", s.Work)
	c.time(at+".stand", s.Stand)
	c.time(at+".wait", s.Wait)
	for k, a := range s.Amounts {
		c.amount(fmt.Sprintf("%s.amounts[%d]", at, k), a)
	}
	for k, seg := range s.Heat {
		c.segment(fmt.Sprintf("%s.heat[%d]", at, k), seg)
	}
	if !s.Kind.wet() && (len(s.Amounts) > 0 || len(s.Heat) > 0 || s.Liquor > 0 || s.Times > 0) {
		c.Wrong(at, "dye-no-bath", nil)
	}
	switch {
	case s.Kind == Dip && s.Vat == nil:
		c.Wrong(at+".vat", "dye-vat-missing", nil)
	case s.Kind != Dip && s.Vat != nil:
		c.Wrong(at+".vat", "dye-vat-elsewhere", check.Args{"kind": string(s.Kind)})
	case s.Vat != nil:
		c.vat(at+".vat", *s.Vat)
	}
}

// what checks the name of a substance or material and gives the most of it that
// makes sense.
func (c *checker) what(path, what string) (most measure.Ratio) {
	if sub := SubstanceOf(what); sub != nil {
		if sub.Heavy {
			c.Look(path, "dye-heavy-metal", check.Args{"what": what})
		}
		return mostChemical
	}
	m := c.r.Material(what)
	if m == nil {
		c.Wrong(path, "dye-what", check.Args{"what": what, "known": c.known()})
		return mostFresh
	}
	return m.most()
}

// most is the share of the weight of fibre above which a material makes no sense.
func (m *Material) most() measure.Ratio {
	if m.Fresh {
		return mostFresh
	}
	return mostPlant
}

// known lists what an amount may name: the recipe's own materials first.
func (c *checker) known() string {
	var keys []string
	for _, m := range c.r.Materials {
		keys = append(keys, m.Key)
	}
	for _, s := range Substances {
		if !s.Heavy {
			keys = append(keys, s.Key)
		}
	}
	return strings.Join(keys, ", ")
}

func (c *checker) amount(at string, a Amount) {
	most := c.what(at+".what", a.What)
	given := 0
	for _, v := range []float64{float64(a.Share), float64(a.PerLitre), float64(a.MLPerLitre), float64(a.MLPerKG)} {
		if v != 0 {
			given++
		}
	}
	switch {
	case given > 1:
		c.Wrong(at, "dye-amount-twice", check.Args{"what": a.What})
		return
	case given == 0:
		c.Wrong(at, "dye-amount-none", check.Args{"what": a.What})
		return
	}
	switch {
	case a.Share < 0 || a.Share > most:
		c.Wrong(at+".amount", "dye-share", check.Args{"what": a.What, "value": a.Share, "most": most})
	case a.PerLitre < 0 || a.PerLitre > mostPerLitre:
		c.Wrong(at+".amount", "out-of-range", check.Args{"value": a.PerLitre, "low": measure.PerLitre(0), "high": mostPerLitre})
	case a.MLPerLitre < 0 || a.MLPerLitre > 1000:
		c.Wrong(at+".amount", "out-of-range", check.Args{"value": a.MLPerLitre, "low": measure.MLPerLitre(0), "high": measure.MLPerLitre(1000)})
	case a.MLPerKG < 0 || a.MLPerKG > 2000:
		c.Wrong(at+".amount", "out-of-range", check.Args{"value": a.MLPerKG, "low": measure.MLPerKG(0), "high": measure.MLPerKG(2000)})
	case a.What == "iron" && a.Share > ironWeakens:
		c.Look(at+".amount", "dye-iron-much", check.Args{"value": a.Share, "most": ironWeakens})
	}
	if a.Low != 0 || a.High != 0 {
		if a.Low <= 0 || a.Low > a.High || a.High > most {
			c.Wrong(at+".low", "dye-range", check.Args{"low": a.Low, "high": a.High})
		}
	}
}

func (c *checker) segment(at string, s Segment) {
	c.hot(at+".from", s.From)
	c.hot(at+".to", s.To)
	if s.Rate < 0 || s.Rate > mostRate {
		c.Wrong(at+".rate", "out-of-range", check.Args{"value": s.Rate, "low": measure.CPerMin(0), "high": mostRate})
	}
	c.time(at+".hold", s.Hold)
}

// hot checks a temperature: no bath is warmer than its boiling point.
func (c *checker) hot(at string, t measure.Celsius) {
	const hairline = 0.05 // of a degree: what is written is rounded
	switch {
	case t < 0:
		c.Wrong(at, "out-of-range", check.Args{"value": t, "low": measure.Celsius(0), "high": c.boils})
	case t > c.boils+hairline:
		c.Wrong(at, "dye-above-boiling", check.Args{"value": t, "boils": c.boils})
	}
}

func (c *checker) vat(at string, v Vat) {
	c.what(at+".dye", v.Dye)
	if v.Strength <= 0 || v.Strength > mostPerLitre {
		c.Wrong(at+".strength", "out-of-range", check.Args{"value": v.Strength, "low": measure.PerLitre(0.1), "high": mostPerLitre})
	}
	if v.Dips < 1 || v.Dips > mostDips {
		c.Wrong(at+".dips", "out-of-range", check.Args{"value": v.Dips, "low": 1, "high": mostDips})
	}
	c.time(at+".dip", v.Dip)
	c.time(at+".airing", v.Airing)
	c.hot(at+".warm", v.Warm)
	if v.Pickup < 0 || v.Pickup > 5 {
		c.Wrong(at+".pickup", "out-of-range", check.Args{"value": v.Pickup, "low": measure.LPerKG(0), "high": measure.LPerKG(5)})
	}
	for i, p := range v.Stock {
		path := fmt.Sprintf("%s.stock[%d]", at, i)
		c.what(path+".what", p.What)
		if p.Parts <= 0 || p.Parts > mostParts {
			c.Wrong(path+".parts", "out-of-range", check.Args{"value": p.Parts, "low": measure.Count(0.01), "high": mostParts})
		}
	}
}
