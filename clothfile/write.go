package clothfile

import (
	"strconv"
	"strings"

	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/warp/frame"
	"urdir/yarn"
)

// Write gives the cloth file of a cloth, in the one form of the examples: every
// field in its place, and what a cloth has by default left out. Read gives an
// equal cloth back, and writing that gives the same text.
//
// It holds for every cloth that Read gives without problems and whose text is
// within the limits of a file. In others a cloth file has no room for spaces
// around a text, bytes that are not UTF-8, a share that no number of per cent
// gives to the last bit (the nearest is written), pegs of different thickness,
// or a field that does not go with its band; and what Read refuses is written
// as it is, to be refused. Remarks, and quantities in the units in which they
// were written, are not part of a cloth.
func Write(c plan.Cloth) []byte {
	usual := plan.NewCloth()
	usual.Pieces = piecesUnsaid(c.Learners)
	sections := []parts{
		writeHead(&c, &usual),
		writeWeaving(&c, &usual),
		section("yarns", writeYarns(c.Yarns)),
		section("figures", each(c.Figures, func(v *plan.Figure) string { return v.Key }, writeFigure)),
		section("warps", each(c.Warps, func(v *plan.Warp) string { return v.Key }, writeWarp)),
		section("panels", each(c.Panels, func(v *plan.Panel) string { return v.Key }, writePanel)),
		section("kit", writeKit(c.Kit)),
	}
	if c.Frame != nil {
		sections = append(sections, section("frame", writeFrame(c.Frame).block()))
	}
	var out strings.Builder
	for _, s := range sections {
		if len(s) == 0 {
			continue
		}
		if out.Len() > 0 {
			out.WriteByte('\n')
		}
		out.WriteString(s.lines())
		out.WriteByte('\n')
	}
	return []byte(out.String())
}

// section is a part of the file with a heading, or nothing.
func section(name, lines string) (p parts) {
	p.addLines(name, lines)
	return p
}

func writeHead(c, usual *plan.Cloth) (p parts) {
	p.add("urdir", strconv.Itoa(Version))
	p.prose("name", c.Name)
	p.prose("note", c.Note)
	var order parts
	order.prose("customer", c.Customer)
	put(&order, "pieces", c.Pieces, usual.Pieces, strconv.Itoa)
	order.text("due", c.Due, "")
	var class parts
	put(&class, "learners", c.Learners, usual.Learners, strconv.Itoa)
	p.addParts("order", order, parts.block)
	p.addParts("class", class, parts.flow)
	return p
}

func writeWeaving(c, usual *plan.Cloth) (p parts) {
	p.text("weft", c.Weft, usual.Weft)
	put(&p, "picks", c.Picks, usual.Picks, density)
	var shrinkage parts
	put(&shrinkage, "length", c.Shrink.Length, usual.Shrink.Length, share)
	put(&shrinkage, "width", c.Shrink.Width, usual.Shrink.Width, share)
	p.addParts("shrinkage", shrinkage, parts.flow)
	put(&p, "flatness", c.Flatness, usual.Flatness, share)
	put(&p, "crimp", c.Crimp, usual.Crimp, share)
	put(&p, "spare", c.Spare, usual.Spare, share)
	put(&p, "join", c.Join, usual.Join, word)
	return p
}

// writeYarns lays the yarns out as a table.
func writeYarns(yarns []plan.Yarn) string {
	rows := make([]parts, len(yarns))
	for i := range yarns {
		rows[i] = writeYarn(&yarns[i])
	}
	align(rows)
	var p parts
	for i, row := range rows {
		p.add(yarns[i].Key, row.flow())
	}
	return p.column()
}

func writeYarn(y *plan.Yarn) (p parts) {
	usual := plan.NewYarn(y.Key)
	p.text("label", y.Label, usual.Label)
	p.text("letter", y.Letter, usual.Letter)
	p.text("colour", y.Colour, usual.Colour)
	p.text("fibre", y.Fibre, usual.Fibre)
	if y.Spec.Count.Number != 0 {
		put(&p, "count", y.Spec.Count, usual.Spec.Count, yarn.Count.String)
	}
	var skein parts
	put(&skein, "length", y.Spec.SkeinLength, usual.Spec.SkeinLength, skeinLength)
	put(&skein, "mass", y.Spec.SkeinMass, usual.Spec.SkeinMass, mass)
	p.addParts("skein", skein, parts.flow)
	put(&p, "strands", y.Spec.Strands, usual.Spec.Strands, strconv.Itoa)
	put(&p, "wraps", y.Spec.Wraps, usual.Spec.Wraps, density)
	put(&p, "volume", y.Spec.Volume, usual.Spec.Volume, volume)
	put(&p, "twist", y.Spec.Contraction, usual.Spec.Contraction, share)
	put(&p, "hank", y.Skein, usual.Skein, mass)
	return p
}

func writeFigure(f *plan.Figure) (p parts) {
	c := &f.Chart
	put(&p, "kind", c.Kind, figure.Brocade, word)
	put(&p, "way", c.Way, figure.Each, word)
	if usual := cellFor(c.Kind, figure.Cell{}); c.Kind != figure.PickUp && c.Cell != usual {
		var cell parts
		cell.add("ends", strconv.Itoa(c.Cell.Ends))
		cell.add("picks", strconv.Itoa(c.Cell.Picks))
		p.add("cell", cell.flow())
	}
	put(&p, "float", c.Limit, 0, float)
	var colours parts
	for _, s := range c.Symbols() {
		colours.add(string(s.Char), text(s.Yarn))
	}
	p.addParts("colours", colours, parts.flow)
	p.prose("origin", f.Origin)
	p.prose("meaning", f.Meaning)
	p.prose("owner", f.Owner)
	if f.Owner != "" || f.Sale != plan.SaleYes {
		put(&p, "sale", f.Sale, "", word)
	}
	p.prose("ask", f.Ask)
	p.add("chart", "|\n"+strings.TrimSuffix(c.String(), "\n"))
	return p
}

func writeKit(kit []plan.KitItem) string {
	return list(kit, func(k plan.KitItem) string {
		var p parts
		p.add("item", text(strings.TrimSpace(k.Name)))
		put(&p, "each", k.Each, 0, strconv.Itoa)
		put(&p, "all", k.All, 0, strconv.Itoa)
		return p.flow()
	})
}

func writeWarp(w *plan.Warp) (p parts) {
	usual := plan.NewWarp(w.Key)
	put(&p, "sett", w.Sett, usual.Sett, density)
	if w.Scale {
		p.add("fit", "scale")
	}
	put(&p, "balls", w.Balls, usual.Balls, strconv.Itoa)
	put(&p, "lay", w.Lay, usual.Lay, word)
	put(&p, "waste", w.Waste, usual.Waste, length)
	put(&p, "between", w.Between, usual.Between, length)
	put(&p, "heddle", w.Heddle, usual.Heddle, length)
	put(&p, "check", w.Check, usual.Check, strconv.Itoa)
	var measured parts
	put(&measured, "take-up", w.MeasuredTakeUp, 0, share)
	put(&measured, "pieces", w.MeasuredPieces, 0, strconv.Itoa)
	p.addParts("measured", measured, parts.flow)
	p.addLines("border", list(w.Order.Border, writeItem))
	p.addLines("stripes", list(w.Order.Items, writeItem))
	return p
}

func writeItem(it warp.Item) string {
	var p parts
	switch {
	case it.Stripe != nil:
		return writeStripe(it.Stripe)
	case len(it.Mirror) > 0:
		p.add("mirror", list(it.Mirror, writeItem))
	default:
		p.add("repeat", strconv.Itoa(it.Repeat))
		p.addLines("of", list(it.Of, writeItem))
	}
	return p.lines()
}

func writeStripe(s *warp.Stripe) string {
	size := stripeSize(s)
	if len(s.Yarns) == 1 && s.Yarns[0].Ends == 0 {
		return pair(size, s.Yarns[0].Yarn)
	}
	lays := make([]string, len(s.Yarns))
	for i, l := range s.Yarns {
		lays[i] = pair(strconv.Itoa(l.Ends), l.Yarn)
	}
	var p parts
	p.add("alternate", inBrackets(lays))
	p.add("over", size)
	return p.lines()
}

// stripeSize is a number of ends, a width, or parts.
func stripeSize(s *warp.Stripe) string {
	switch {
	case s.Share == 1:
		return "1 part"
	case s.Share != 0:
		return decimal(s.Share) + " parts"
	case s.Width != 0:
		return length(s.Width)
	}
	return strconv.Itoa(s.Ends)
}

func writePanel(pn *plan.Panel) (p parts) {
	usual := plan.NewPanel(pn.Key)
	p.text("warp", pn.Warp, usual.Warp)
	put(&p, "count", pn.Count, usual.Count, strconv.Itoa)
	put(&p, "width", pn.Width, usual.Width, length)
	put(&p, "length", pn.Length, usual.Length, length)
	var seam parts
	put(&seam, "left", pn.Seam.Left, 0, length)
	put(&seam, "right", pn.Seam.Right, 0, length)
	put(&seam, "top", pn.Seam.Top, 0, length)
	put(&seam, "bottom", pn.Seam.Bottom, 0, length)
	p.addParts("seam", seam, parts.flow)
	p.addLines("bands", list(pn.Bands, writeBandItem))
	if pn.Tied != nil {
		p.add("tied", writeTied(pn.Tied).block())
	}
	return p
}

func writeBandItem(it plan.BandItem) string {
	var p parts
	switch {
	case it.Band != nil:
		return writeBand(it.Band).flow()
	case len(it.Mirror) > 0:
		p.add("mirror", list(it.Mirror, writeBandItem))
	default:
		p.add("repeat", strconv.Itoa(it.Repeat))
		p.addLines("of", list(it.Of, writeBandItem))
	}
	return p.lines()
}

// writeBand gives the fields that go with the kind of band, as bandFields says.
func writeBand(b *plan.Band) (p parts) {
	usual := plan.NewBand()
	p.add(string(b.Kind), bandSize(b))
	switch b.Kind {
	case plan.Hem:
		put(&p, "under", b.Under, usual.Under, length)
	case plan.Fringe:
		put(&p, "twist", b.Twist, usual.Twist, share)
		return p
	case plan.Open:
		return p
	case plan.Figured:
		p.text("chart", b.Place.Figure, usual.Place.Figure)
		put(&p, "count", b.Place.Count, usual.Place.Count, strconv.Itoa)
		put(&p, "spacing", b.Place.Spacing, usual.Place.Spacing, length)
		put(&p, "margin", b.Place.Margin, usual.Place.Margin, length)
		put(&p, "alternate", b.Place.Mirror, usual.Place.Mirror, yesNo)
		put(&p, "upright", b.Place.Upright, usual.Place.Upright, strconv.Itoa)
		put(&p, "turned", b.Place.Turned, usual.Place.Turned, yesNo)
	}
	p.text("weft", b.Weft, usual.Weft)
	put(&p, "picks", b.Picks, usual.Picks, density)
	return p
}

func bandSize(b *plan.Band) string {
	switch {
	case b.Rest:
		return "rest"
	case b.Length == 0 && b.Kind == plan.Figured:
		return "fit"
	}
	return length(b.Length)
}

func writeFrame(f *frame.Frame) (p parts) {
	var thick measure.CM
	var pegs parts
	for _, peg := range f.Pegs {
		thick = f.Pegs[0].Diameter // a file knows one thickness
		pegs.add(peg.ID, "["+length(peg.X)+", "+length(peg.Y)+"]")
	}
	put(&p, "peg", thick, 0, length)
	p.addParts("pegs", pegs, parts.block)
	p.add("cross", names(f.Cross[:]))
	for _, at := range []struct {
		name string
		pegs []string
	}{{"start", f.Start}, {"turn", f.Turn}} {
		if len(at.pegs) > 0 {
			p.add(at.name, names(at.pegs))
		}
	}
	return p
}
