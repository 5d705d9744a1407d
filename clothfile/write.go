package clothfile

import (
	"strconv"
	"strings"

	"urdir/figure"
	"urdir/internal/yamlfile"
	"urdir/plan"
	"urdir/warp"
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
	sections := []yamlfile.Parts{
		writeHead(&c, &usual),
		writeWeaving(&c, &usual),
		section("yarns", writeYarns(c.Yarns)),
		section("figures", yamlfile.Each(c.Figures, func(v *plan.Figure) string { return v.Key }, writeFigure)),
		section("warps", yamlfile.Each(c.Warps, func(v *plan.Warp) string { return v.Key }, writeWarp)),
		section("panels", yamlfile.Each(c.Panels, func(v *plan.Panel) string { return v.Key }, writePanel)),
		section("kit", writeKit(c.Kit)),
	}
	if c.Frame != nil {
		sections = append(sections, section("frame", writeFrame(c.Frame).Block()))
	}
	var out strings.Builder
	for _, s := range sections {
		if len(s) == 0 {
			continue
		}
		if out.Len() > 0 {
			out.WriteByte('\n')
		}
		out.WriteString(s.Lines())
		out.WriteByte('\n')
	}
	return []byte(out.String())
}

// section is a part of the file with a heading, or nothing.
func section(name, lines string) (p yamlfile.Parts) {
	p.AddLines(name, lines)
	return p
}

func writeHead(c, usual *plan.Cloth) (p yamlfile.Parts) {
	p.Add("urdir", strconv.Itoa(Version))
	p.Prose("name", c.Name)
	p.Prose("note", c.Note)
	var order yamlfile.Parts
	order.Prose("customer", c.Customer)
	yamlfile.Put(&order, "pieces", c.Pieces, usual.Pieces, strconv.Itoa)
	order.Text("due", c.Due, "")
	var class yamlfile.Parts
	yamlfile.Put(&class, "learners", c.Learners, usual.Learners, strconv.Itoa)
	p.AddParts("order", order, yamlfile.Parts.Block)
	p.AddParts("class", class, yamlfile.Parts.Flow)
	return p
}

func writeWeaving(c, usual *plan.Cloth) (p yamlfile.Parts) {
	p.Text("weft", c.Weft, usual.Weft)
	yamlfile.Put(&p, "picks", c.Picks, usual.Picks, density)
	var shrinkage yamlfile.Parts
	yamlfile.Put(&shrinkage, "length", c.Shrink.Length, usual.Shrink.Length, share)
	yamlfile.Put(&shrinkage, "width", c.Shrink.Width, usual.Shrink.Width, share)
	p.AddParts("shrinkage", shrinkage, yamlfile.Parts.Flow)
	yamlfile.Put(&p, "flatness", c.Flatness, usual.Flatness, share)
	yamlfile.Put(&p, "crimp", c.Crimp, usual.Crimp, share)
	yamlfile.Put(&p, "spare", c.Spare, usual.Spare, share)
	yamlfile.Put(&p, "join", c.Join, usual.Join, yamlfile.Word)
	return p
}

// writeYarns lays the yarns out as a table.
func writeYarns(yarns []plan.Yarn) string {
	rows := make([]yamlfile.Parts, len(yarns))
	for i := range yarns {
		rows[i] = writeYarn(&yarns[i])
	}
	yamlfile.Align(rows)
	var p yamlfile.Parts
	for i, row := range rows {
		p.Add(yarns[i].Key, row.Flow())
	}
	return p.Column()
}

func writeYarn(y *plan.Yarn) (p yamlfile.Parts) {
	usual := plan.NewYarn(y.Key)
	p.Text("label", y.Label, usual.Label)
	p.Text("letter", y.Letter, usual.Letter)
	p.Text("colour", y.Colour, usual.Colour)
	p.Text("fibre", y.Fibre, usual.Fibre)
	if y.Spec.Count.Number != 0 {
		yamlfile.Put(&p, "count", y.Spec.Count, usual.Spec.Count, yarn.Count.String)
	}
	var skein yamlfile.Parts
	yamlfile.Put(&skein, "length", y.Spec.SkeinLength, usual.Spec.SkeinLength, skeinLength)
	yamlfile.Put(&skein, "mass", y.Spec.SkeinMass, usual.Spec.SkeinMass, mass)
	p.AddParts("skein", skein, yamlfile.Parts.Flow)
	yamlfile.Put(&p, "strands", y.Spec.Strands, usual.Spec.Strands, strconv.Itoa)
	yamlfile.Put(&p, "wraps", y.Spec.Wraps, usual.Spec.Wraps, density)
	yamlfile.Put(&p, "volume", y.Spec.Volume, usual.Spec.Volume, volume)
	yamlfile.Put(&p, "twist", y.Spec.Contraction, usual.Spec.Contraction, share)
	yamlfile.Put(&p, "hank", y.Skein, usual.Skein, mass)
	p.Text("dye", y.Dye, usual.Dye)
	yamlfile.Put(&p, "dyestuff", y.Share, usual.Share, share)
	return p
}

func writeFigure(f *plan.Figure) (p yamlfile.Parts) {
	c := &f.Chart
	yamlfile.Put(&p, "kind", c.Kind, figure.Brocade, yamlfile.Word)
	yamlfile.Put(&p, "way", c.Way, figure.Each, yamlfile.Word)
	if usual := cellFor(c.Kind, figure.Cell{}); c.Kind != figure.PickUp && c.Cell != usual {
		var cell yamlfile.Parts
		cell.Add("ends", strconv.Itoa(c.Cell.Ends))
		cell.Add("picks", strconv.Itoa(c.Cell.Picks))
		p.Add("cell", cell.Flow())
	}
	yamlfile.Put(&p, "float", c.Limit, 0, float)
	var colours yamlfile.Parts
	for _, s := range c.Symbols() {
		colours.Add(string(s.Char), yamlfile.Text(s.Yarn))
	}
	p.AddParts("colours", colours, yamlfile.Parts.Flow)
	p.Prose("origin", f.Origin)
	p.Prose("meaning", f.Meaning)
	p.Prose("owner", f.Owner)
	if f.Owner != "" || f.Sale != plan.SaleYes {
		yamlfile.Put(&p, "sale", f.Sale, "", yamlfile.Word)
	}
	p.Prose("ask", f.Ask)
	p.Add("chart", "|\n"+strings.TrimSuffix(c.String(), "\n"))
	return p
}

func writeKit(kit []plan.KitItem) string {
	return yamlfile.List(kit, func(k plan.KitItem) string {
		var p yamlfile.Parts
		p.Add("item", yamlfile.Text(strings.TrimSpace(k.Name)))
		yamlfile.Put(&p, "each", k.Each, 0, strconv.Itoa)
		yamlfile.Put(&p, "all", k.All, 0, strconv.Itoa)
		return p.Flow()
	})
}

func writeWarp(w *plan.Warp) (p yamlfile.Parts) {
	usual := plan.NewWarp(w.Key)
	yamlfile.Put(&p, "sett", w.Sett, usual.Sett, density)
	if w.Scale {
		p.Add("fit", "scale")
	}
	yamlfile.Put(&p, "balls", w.Balls, usual.Balls, strconv.Itoa)
	yamlfile.Put(&p, "lay", w.Lay, usual.Lay, yamlfile.Word)
	yamlfile.Put(&p, "waste", w.Waste, usual.Waste, length)
	yamlfile.Put(&p, "between", w.Between, usual.Between, length)
	yamlfile.Put(&p, "heddle", w.Heddle, usual.Heddle, length)
	yamlfile.Put(&p, "check", w.Check, usual.Check, strconv.Itoa)
	var measured yamlfile.Parts
	yamlfile.Put(&measured, "take-up", w.MeasuredTakeUp, 0, share)
	yamlfile.Put(&measured, "pieces", w.MeasuredPieces, 0, strconv.Itoa)
	p.AddParts("measured", measured, yamlfile.Parts.Flow)
	p.AddLines("border", yamlfile.List(w.Order.Border, writeItem))
	p.AddLines("stripes", yamlfile.List(w.Order.Items, writeItem))
	return p
}

func writeItem(it warp.Item) string {
	if it.Stripe != nil {
		return writeStripe(it.Stripe)
	}
	return writeGroup(it.Repeat, it.Of, it.Mirror, writeItem)
}

// writeGroup is a group of stripes or of bands.
func writeGroup[T any](repeat int, of, mirror []T, write func(T) string) string {
	var p yamlfile.Parts
	if len(mirror) > 0 {
		p.Add("mirror", yamlfile.List(mirror, write))
		return p.Lines()
	}
	p.Add("repeat", strconv.Itoa(repeat))
	p.AddLines("of", yamlfile.List(of, write))
	return p.Lines()
}

func writeStripe(s *warp.Stripe) string {
	size := stripeSize(s)
	if len(s.Yarns) == 1 && s.Yarns[0].Ends == 0 {
		return yamlfile.Pair(size, s.Yarns[0].Yarn)
	}
	lays := make([]string, len(s.Yarns))
	for i, l := range s.Yarns {
		lays[i] = yamlfile.Pair(strconv.Itoa(l.Ends), l.Yarn)
	}
	var p yamlfile.Parts
	p.Add("alternate", yamlfile.InBrackets(lays))
	p.Add("over", size)
	return p.Lines()
}

// stripeSize is a number of ends, a width, or parts.
func stripeSize(s *warp.Stripe) string {
	switch {
	case s.Share == 1:
		return "1 part"
	case s.Share != 0:
		return yamlfile.Decimal(s.Share) + " parts"
	case s.Width != 0:
		return length(s.Width)
	}
	return strconv.Itoa(s.Ends)
}

func writePanel(pn *plan.Panel) (p yamlfile.Parts) {
	usual := plan.NewPanel(pn.Key)
	p.Text("warp", pn.Warp, usual.Warp)
	yamlfile.Put(&p, "count", pn.Count, usual.Count, strconv.Itoa)
	yamlfile.Put(&p, "width", pn.Width, usual.Width, length)
	yamlfile.Put(&p, "length", pn.Length, usual.Length, length)
	var seam yamlfile.Parts
	yamlfile.Put(&seam, "left", pn.Seam.Left, 0, length)
	yamlfile.Put(&seam, "right", pn.Seam.Right, 0, length)
	yamlfile.Put(&seam, "top", pn.Seam.Top, 0, length)
	yamlfile.Put(&seam, "bottom", pn.Seam.Bottom, 0, length)
	p.AddParts("seam", seam, yamlfile.Parts.Flow)
	p.AddLines("bands", yamlfile.List(pn.Bands, writeBandItem))
	if pn.Tied != nil {
		p.Add("tied", writeTied(pn.Tied).Block())
	}
	return p
}

func writeBandItem(it plan.BandItem) string {
	if it.Band != nil {
		return writeBand(it.Band).Flow()
	}
	return writeGroup(it.Repeat, it.Of, it.Mirror, writeBandItem)
}

// writeBand gives the fields that go with the kind of band, as bandFields says.
func writeBand(b *plan.Band) (p yamlfile.Parts) {
	usual := plan.NewBand()
	p.Add(string(b.Kind), bandSize(b))
	switch b.Kind {
	case plan.Hem:
		yamlfile.Put(&p, "under", b.Under, usual.Under, length)
	case plan.Fringe:
		yamlfile.Put(&p, "twist", b.Twist, usual.Twist, share)
		return p
	case plan.Open:
		return p
	case plan.Figured:
		p.Text("chart", b.Place.Figure, usual.Place.Figure)
		yamlfile.Put(&p, "count", b.Place.Count, usual.Place.Count, strconv.Itoa)
		yamlfile.Put(&p, "spacing", b.Place.Spacing, usual.Place.Spacing, length)
		yamlfile.Put(&p, "margin", b.Place.Margin, usual.Place.Margin, length)
		yamlfile.Put(&p, "alternate", b.Place.Mirror, usual.Place.Mirror, yamlfile.YesNo)
		yamlfile.Put(&p, "upright", b.Place.Upright, usual.Place.Upright, strconv.Itoa)
		yamlfile.Put(&p, "turned", b.Place.Turned, usual.Place.Turned, yamlfile.YesNo)
	}
	p.Text("weft", b.Weft, usual.Weft)
	yamlfile.Put(&p, "picks", b.Picks, usual.Picks, density)
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
