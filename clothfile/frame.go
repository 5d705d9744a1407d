package clothfile

import (
	"urdir/check"
	"urdir/internal/yamlfile"
	"urdir/measure"
	"urdir/warp/frame"
)

// toFrame reads the warping frame and its pegs.
func toFrame(to **frame.Frame) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		f := &frame.Frame{}
		var thick measure.CM
		var cross []string
		fields{
			"peg":   yamlfile.To(measure.ParseLength, &thick),
			"pegs":  toPegs(&f.Pegs),
			"cross": toNames(&cross),
			"start": toNames(&f.Start),
			"turn":  toNames(&f.Turn),
		}.Read(n)
		if !n.IsMapping() {
			return
		}
		for i := range f.Pegs {
			f.Pegs[i].Diameter = thick
		}
		if len(cross) != 2 {
			n.Part("cross").Refuse("frame-cross-two", check.Args{"pegs": len(cross)})
			return
		}
		f.Cross = [2]string{cross[0], cross[1]}
		*to = f
	}
}

// toPegs reads "A: [0 cm, 12 cm]": across and down from any corner.
func toPegs(to *[]frame.Peg) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		n.Each(func(n *yamlfile.Node) {
			var xy []measure.CM
			yamlfile.ToList(&xy, func(v *measure.CM) func(*yamlfile.Node) { return yamlfile.To(measure.ParseLength, v) })(n)
			if len(xy) != 2 {
				n.Refuse("peg-place", check.Args{"peg": yamlfile.Clip(n.Key())})
				return
			}
			*to = append(*to, frame.Peg{ID: n.Key(), X: xy[0], Y: xy[1]})
		})
	}
}

// toNames reads a list of pegs, or a single one.
func toNames(to *[]string) func(*yamlfile.Node) {
	one := yamlfile.FromText(func(_ *yamlfile.Node, s string) { *to = append(*to, s) })
	return func(n *yamlfile.Node) {
		if n.IsList() {
			n.List(one)
			return
		}
		one(n)
	}
}

func writeFrame(f *frame.Frame) (p yamlfile.Parts) {
	var thick measure.CM
	var pegs yamlfile.Parts
	for _, peg := range f.Pegs {
		thick = f.Pegs[0].Diameter // a file knows one thickness
		pegs.Add(peg.ID, yamlfile.InBrackets([]string{length(peg.X), length(peg.Y)}))
	}
	yamlfile.Put(&p, "peg", thick, 0, length)
	p.AddParts("pegs", pegs, yamlfile.Parts.Block)
	p.Add("cross", writeNames(f.Cross[:]))
	for _, at := range []struct {
		name string
		pegs []string
	}{{"start", f.Start}, {"turn", f.Turn}} {
		if len(at.pegs) > 0 {
			p.Add(at.name, writeNames(at.pegs))
		}
	}
	return p
}

func writeNames(pegs []string) string {
	out := make([]string, len(pegs))
	for i, id := range pegs {
		out[i] = yamlfile.Name(id)
	}
	return yamlfile.InBrackets(out)
}
