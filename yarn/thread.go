package yarn

import (
	"math"

	"urdir/check"
	"urdir/measure"
)

// DefaultVolume is the specific volume of cotton yarn, cm3 per gram
// (Peirce, Journal of the Textile Institute 28, 1937, T45; from memory).
const DefaultVolume measure.CM3G = 1.1

// Spec is a yarn as it is used: by its count or by a measured skein, how many
// strands lie side by side in an end or pick, and how thick that is.
type Spec struct {
	Count       Count
	SkeinLength measure.M // a measured skein, instead of a count
	SkeinMass   measure.Gram
	Strands     int
	Contraction measure.Ratio // length lost when plies were twisted; for counts of the single ply
	Volume      measure.CM3G  // 0: DefaultVolume
	Wraps       measure.PerCM // wraps of the whole end round a ruler; 0: not measured
}

// Thread is a yarn ready to reckon with. Tex is that of the whole end: the
// strand's times the strands.
type Thread struct {
	StrandTex measure.Tex  `json:"strand_tex"`
	Tex       measure.Tex  `json:"end_tex"`
	Strands   int          `json:"strands"`
	Diameter  measure.MM   `json:"diameter_mm"`
	Volume    measure.CM3G `json:"specific_volume_cm3_per_g"`
	Measured  bool         `json:"diameter_measured"` // from wraps
}

// Thread settles the yarn. Problems have the paths "count", "skein",
// "strands", "twist", "volume" and "wraps".
func (s Spec) Thread() (Thread, check.Problems) {
	var ps check.Problems
	t := Thread{Strands: s.Strands, Volume: s.Volume}
	hasSkein := s.SkeinLength != 0 || s.SkeinMass != 0
	switch {
	case s.Count.Number == 0 && !hasSkein:
		ps.Wrong("", "yarn-no-count", nil)
	case s.Count.Number != 0 && hasSkein:
		ps.Wrong("skein", "yarn-count-and-skein", nil)
	case hasSkein && (s.SkeinLength <= 0 || s.SkeinMass <= 0):
		ps.Wrong("skein", "yarn-skein", nil)
	case hasSkein:
		t.StrandTex = SkeinTex(s.SkeinLength, s.SkeinMass)
	default:
		t.StrandTex = s.Count.Tex()
	}
	if s.Contraction < 0 || s.Contraction >= 0.5 {
		ps.Wrong("twist", "yarn-twist", check.Args{"value": s.Contraction})
	} else if !hasSkein && !s.Count.IsResultant() && s.Count.Plies > 1 {
		t.StrandTex /= measure.Tex(1 - s.Contraction)
	}
	if s.Strands < 1 {
		ps.Wrong("strands", "yarn-strands", check.Args{"strands": s.Strands})
	}
	if t.Volume == 0 {
		t.Volume = DefaultVolume
	}
	if t.Volume < 0.3 || t.Volume > 5 {
		ps.Wrong("volume", "yarn-volume", check.Args{"value": float64(t.Volume)})
	}
	if s.Wraps < 0 || s.Wraps > 300 {
		ps.Wrong("wraps", "yarn-wraps", check.Args{"value": float64(s.Wraps)})
	}
	if ps.Failed() {
		return t, ps
	}
	t.Tex = t.StrandTex * measure.Tex(s.Strands)
	if t.Tex > 20000 || t.Tex < 0.1 {
		ps.Wrong("", "yarn-tex", check.Args{"tex": t.Tex})
		return t, ps
	}
	t.Diameter = Diameter(t.Tex, t.Volume)
	if s.Wraps > 0 {
		reckoned := t.Diameter
		t.Diameter, t.Measured = s.Wraps.Spacing(), true
		if r := float64(t.Diameter / reckoned); r > 1.35 || r < 0.74 {
			ps.Look("wraps", "yarn-diameter-differs", check.Args{"measured": t.Diameter, "reckoned": reckoned})
		}
	}
	return t, ps
}

// SkeinTex is the linear density of a measured skein: mass over length.
func SkeinTex(l measure.M, m measure.Gram) measure.Tex {
	return measure.Tex(float64(m) / float64(l) * 1000)
}

// Diameter is that of a round thread of the given density and specific volume:
// d = 2 sqrt(T v / pi), T in g/cm and v in cm3/g (Peirce 1937).
func Diameter(t measure.Tex, v measure.CM3G) measure.MM {
	const gramsPerCM = 1e-5 // one tex
	return measure.CM(2 * math.Sqrt(float64(t)*gramsPerCM*float64(v)/math.Pi)).MM()
}

// Fold adds up threads twisted or wound together (direct systems add).
func Fold(threads ...measure.Tex) measure.Tex {
	var sum measure.Tex
	for _, t := range threads {
		sum += t
	}
	return sum
}

// Mass is the mass of a length of the whole end.
func (t Thread) Mass(end measure.M) measure.Gram { return t.Tex.Mass(end) }

// StrandLength is the single strand in a length of the whole end.
func (t Thread) StrandLength(end measure.M) measure.M { return end * measure.M(t.Strands) }
