package plan

import (
	"strconv"
	"strings"

	"urdir/check"
	"urdir/cloth"
	"urdir/measure"
	"urdir/yarn"
)

// Make plans a cloth. It is a pure function: the same Cloth gives the same
// Plan, byte for byte. The plan is only good when the problems have not Failed;
// cautions are kept in the plan as well.
func Make(c Cloth) (Plan, check.Problems) {
	m := newMaker(c)
	m.out = Plan{Name: c.Name, Note: c.Note, Customer: c.Customer, Due: c.Due, Pieces: c.Pieces, Learners: c.Learners, Frame: c.Frame, cloth: c}
	m.read()
	if m.ps.Failed() {
		return Plan{}, m.ps
	}
	m.planWarps()
	if m.ps.Failed() {
		return Plan{}, m.ps
	}
	m.planPanels()
	if m.ps.Failed() {
		return Plan{}, m.ps
	}
	m.layWarps()
	if m.ps.Failed() {
		return Plan{}, m.ps
	}
	m.tieWarps()
	if m.ps.Failed() {
		return Plan{}, m.ps
	}
	m.needs()
	m.piece()
	m.kit()
	m.out.Cautions = m.ps
	return m.out, m.ps
}

// Check finds what is wrong with a cloth as far as that can be said without
// planning it, even of a cloth that was only read in part.
func Check(c Cloth) check.Problems {
	m := newMaker(c)
	m.read()
	return m.ps
}

func newMaker(c Cloth) *maker {
	return &maker{in: c, takeUps: map[takeUpKey]TakeUp{}, said: map[string]bool{}}
}

// read checks the cloth and settles its yarns and figures.
func (m *maker) read() {
	m.validate()
	m.readYarns()
	m.readFigures()
}

// maker holds what is known while a plan is made.
type maker struct {
	in      Cloth
	out     Plan
	ps      check.Problems
	yarn    map[string]int // index into in.Yarns
	thread  map[string]yarn.Thread
	chart   map[string]int // index into in.Figures
	takeUps map[takeUpKey]TakeUp
	said    map[string]bool
}

// once adds a problem unless the same was said of the same place.
func (m *maker) once(path, code string, args check.Args) {
	key := path + "\x00" + code
	if !m.said[key] {
		m.said[key] = true
		m.ps.Wrong(path, code, args)
	}
}

func (m *maker) yarnKeys() string {
	keys := make([]string, len(m.in.Yarns))
	for i, y := range m.in.Yarns {
		keys[i] = y.Key
	}
	return strings.Join(keys, ", ")
}

// readYarns settles each yarn's thread, letter and hatch.
func (m *maker) readYarns() {
	m.yarn, m.thread = map[string]int{}, map[string]yarn.Thread{}
	m.out.Yarns = make([]YarnNeed, len(m.in.Yarns))
	letters := m.letters()
	for i, y := range m.in.Yarns {
		m.yarn[y.Key] = i
		th, ps := y.Spec.Thread()
		m.ps.Under("yarns."+y.Key, ps)
		m.thread[y.Key] = th
		need := YarnNeed{
			Key: y.Key, Label: y.Label, Letter: letters[i], Hatch: i, Colour: y.Colour, Fibre: y.Fibre,
			Strands: th.Strands, StrandTex: th.StrandTex, Tex: th.Tex, Diameter: th.Diameter, Measured: th.Measured,
			Skein: y.Skein, Dye: y.Dye, Share: y.Share,
		}
		if y.Spec.Count.Number > 0 {
			need.Count = y.Spec.Count.String()
		}
		m.out.Yarns[i] = need
	}
}

const alphabet = "ABCDEFGHIJKLMNÑOPQRSTUVWXYZ0123456789"

// letters gives every yarn a letter of its own: the one asked for, else the
// first letter of its label that is free, else of the alphabet, else one with a
// number behind it.
func (m *maker) letters() []string {
	out := make([]string, len(m.in.Yarns))
	taken := map[string]bool{}
	for i, y := range m.in.Yarns {
		if y.Letter == "" {
			continue
		}
		out[i] = strings.ToUpper(y.Letter)
		if taken[out[i]] {
			m.ps.Wrong("yarns."+y.Key+".letter", "letter-twice", check.Args{"letter": out[i]})
		}
		taken[out[i]] = true
	}
	for i, y := range m.in.Yarns {
		for n := 1; out[i] == ""; n++ {
			for _, c := range strings.ToUpper(y.Label) + alphabet {
				s := string(c)
				if n > 1 {
					s += strconv.Itoa(n)
				}
				if strings.ContainsRune(alphabet, c) && !taken[s] {
					out[i], taken[s] = s, true
					break
				}
			}
		}
	}
	return out
}

// needs adds up what every yarn is needed for.
func (m *maker) needs() {
	add := func(key string, to func(*YarnNeed) *measure.M, l measure.M) {
		*to(&m.out.Yarns[m.yarn[key]]) += l
	}
	for _, w := range m.out.Warps {
		for _, y := range w.Yarns {
			add(y.Yarn, func(n *YarnNeed) *measure.M { return &n.Warp }, y.Length*measure.M(w.Layings))
		}
	}
	for _, p := range m.out.Panels {
		times := measure.M(p.Count * m.in.Pieces)
		for _, b := range p.Bands {
			if b.Weft != "" {
				add(b.Weft, func(n *YarnNeed) *measure.M { return &n.Weft }, b.WeftLen*times)
			}
			if b.Figure == nil {
				continue
			}
			for _, u := range b.Figure.Yarns {
				add(u.Yarn, func(n *YarnNeed) *measure.M { return &n.Figure }, u.Length*times)
			}
		}
	}
	for i := range m.out.Yarns {
		n := &m.out.Yarns[i]
		used := n.Warp + n.Weft + n.Figure
		n.Spare = used * measure.M(m.in.Spare)
		n.Thread = (used + n.Spare) * measure.M(n.Strands)
		n.Mass = n.StrandTex.Mass(n.Thread)
		if n.Skein > 0 && n.Mass > 0 {
			buy := yarn.Buy(n.Mass, n.Skein)
			n.Skeins, n.Left = buy.Skeins, buy.Left
		}
		if used == 0 {
			m.ps.Look("yarns."+n.Key, "yarn-unused", check.Args{"yarn": n.Label})
		}
	}
}

// piece reckons one finished piece: its size, and its weight from the thread
// that lies in it.
func (m *maker) piece() {
	p := &m.out.Piece
	p.Join = m.in.Join
	var area, mass, fringes, coverSum float64
	for _, pan := range m.out.Panels {
		n := float64(pan.Count)
		one := float64(pan.Cut.M()) * float64(pan.CutLength.M())
		mass += n * float64(pan.Mass)
		fringes += n * float64(pan.FringeMass)
		area += n * one
		coverSum += n * one * float64(m.out.Warp(pan.Warp).Cover)
		m.spread(p, pan)
	}
	p.Area, p.Mass = measure.M2(area), measure.Gram(mass)
	if area > 0 {
		p.PerM2 = measure.PerM2((mass - fringes) / area)
		p.Hand = cloth.HandOf(measure.Ratio(coverSum/area), p.PerM2)
	}
}

// spread adds a panel to the outline of the piece.
func (m *maker) spread(p *Piece, pan PanelPlan) {
	n := measure.CM(pan.Count)
	p.Panels += pan.Count
	switch m.in.Join {
	case JoinEnd:
		p.Width = max(p.Width, pan.Width)
		p.Length += pan.Length * n
		p.Overall += (pan.Length + pan.Fringes) * n
	case JoinApart:
		p.Width, p.Length = max(p.Width, pan.Width), max(p.Length, pan.Length)
		p.Overall = max(p.Overall, pan.Length+pan.Fringes)
	default:
		p.Width += pan.Width * n
		p.Length = max(p.Length, pan.Length)
		p.Overall = max(p.Overall, pan.Length+pan.Fringes)
	}
}

// kit counts what to pack for a class.
func (m *maker) kit() {
	for _, k := range m.in.Kit {
		m.out.Kit = append(m.out.Kit, KitNeed{Name: k.Name, Each: k.Each, All: k.Each*m.in.Learners + k.All})
	}
}

// readFigures copies each chart with its size and its reading.
func (m *maker) readFigures() {
	m.chart = map[string]int{}
	for i, f := range m.in.Figures {
		m.chart[f.Key] = i
		for _, s := range f.Chart.Symbols() {
			if _, ok := m.yarn[s.Yarn]; !ok {
				m.ps.Wrong("figures."+f.Key+".colours", "yarn-unknown", check.Args{"yarn": s.Yarn, "known": m.yarnKeys()})
			}
		}
	}
}

// permission says whether a figure may go on what is made: on an order only
// with the consent of those it belongs to.
func (m *maker) permission(f Figure) {
	args := check.Args{"figure": f.Key, "owner": f.Owner, "ask": f.Ask}
	switch {
	case f.Sale == SaleYes:
	case m.in.Customer != "":
		m.ps.Wrong("figures."+f.Key+".sale", "figure-not-for-sale", args)
	default:
		m.ps.Look("figures."+f.Key+".sale", "figure-sale-open", args)
	}
}
