package workshop

import (
	"math"
	"testing"
	"time"

	"urdir/dye"
	"urdir/measure"
)

// The calendar has a bath in its pot for every day of the plan, once, and on the
// line what the plan says hangs there; a proposal laid over it takes the place
// of what has not begun.
func TestDyeCalendar(t *testing.T) {
	s, _, bare := dyeShop(t, file(t))
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Feasts = []Feast{{Day: dayAfter(s.h.today(), 3), Name: "Feria"}}
	must(s.h.SaveSettings(ctx, s.head, set))
	p := must(s.h.ProposeDye(ctx, s.dyer, 200))
	const weeks = 60
	none := must(s.h.DyeCalendar(ctx, s.seller, weeks))
	if len(none.Days) != weeks || none.Days[3].Feast != "Feria" || !none.Days[3].Closed || none.Line != DefaultLine {
		t.Fatalf("%d days, the feast %+v, the line %v", len(none.Days), none.Days[3], none.Line)
	}
	made := must(s.h.AcceptDye(ctx, s.dyer, p.Mark, 200))
	for what, c := range map[string]DyeCalendar{"proposed": none.With(p), "accepted": must(s.h.DyeCalendar(ctx, s.dyer, weeks))} {
		baths, hung := 0, map[string]measure.Gram{}
		for _, d := range c.Days {
			baths += len(d.Fires)
			for _, f := range d.Fires {
				if d.Closed || f.Begun || f.Late || f.Colour == "" || len(d.In(f.Pot)) == 0 {
					t.Errorf("%s: %s has %+v", what, d.Date, f)
				}
			}
			hung[d.Date] = d.Hung()
		}
		if baths != p.Plan.Score.Baths {
			t.Errorf("%s: %d baths, want %d", what, baths, p.Plan.Score.Baths)
		}
		for _, l := range p.Plan.Line {
			if got := hung[p.Day(l.Day)]; math.Abs(float64(got-l.Mass.Gram())) > 0.01 {
				t.Errorf("%s: %v hangs on %s, want %v", what, got, p.Day(l.Day), l.Mass.Gram())
			}
			delete(hung, p.Day(l.Day))
		}
		for day, g := range hung {
			if g != 0 {
				t.Errorf("%s: %v hangs on %s, want nothing", what, g, day)
			}
		}
	}
	d := must(s.h.BeginDyeing(ctx, s.dyer, made[0].ID, made[0].Revision, bare.ID, made[0].Value.Mass))
	must(s.h.DoneStage(ctx, s.dyer, d.ID, d.Revision, DyeFact{Dyer: "Delfina"}, nil, nil))
	s.clock.pass(40 * 24 * time.Hour)
	late := must(s.h.DyeCalendar(ctx, s.dyer, weeks)).Days[0]
	if len(late.Fires) != 2 || !late.Fires[0].Late || !late.Fires[1].Late {
		t.Errorf("after 40 days there stand today: %+v", late.Fires)
	}
}

// What the stages of a dyeing take adds up to what it takes, and is shared out
// over bags: what expires first goes first, what is expired is left.
func TestDyeing_stageNeeds(t *testing.T) {
	s, _, _ := dyeShop(t, file(t))
	p := must(s.h.ProposeDye(ctx, s.dyer, 100))
	d := must(s.h.AcceptDye(ctx, s.dyer, p.Mark, 100))[0]
	bag := func(expires string, g measure.Gram) string {
		return must(s.h.Buy(ctx, s.dyer, Kept[Supply]{Value: Supply{What: "Rubia tinctorum", Expires: expires}}, Purchase{Mass: g})).ID
	}
	bag("2001-01-01", 500)
	later, soon := bag("2039-01-01", 10_000), bag("2038-01-01", 3)
	v := must(s.h.Dyeing(ctx, s.dyer, d.ID))
	sum := map[string]measure.Gram{}
	for _, stage := range v.StageNeeds {
		for _, n := range stage {
			sum[n.What] += n.Mass
			if n.What != "Rubia tinctorum" {
				continue
			}
			if got := n.Take(); len(got) != 2 || got[soon] != 3 || math.Abs(float64(got[later]-(n.Mass-3))) > 1e-6 {
				t.Errorf("of %v take %v", n.Mass, got)
			}
		}
	}
	for _, n := range v.Needs {
		if math.Abs(float64(sum[n.What]-n.Mass)) > 1e-6 {
			t.Errorf("%s: the stages take %v, the whole %v", n.What, sum[n.What], n.Mass)
		}
		delete(sum, n.What)
	}
	if len(v.StageNeeds) != len(v.Value.Days) || len(sum) > 0 {
		t.Errorf("%d stages, left over %v", len(v.StageNeeds), sum)
	}
	short := map[string]bool{}
	for _, n := range v.Missing() {
		short[n.What] = true
	}
	if short["Rubia tinctorum"] || !short["alum"] {
		t.Errorf("missing are %v; there is madder and no alum", short)
	}
	house := DyeHouse{Measures: []Kitchen{{What: "Rubia tinctorum", Name: "taza", Mass: 90}, {What: "alum", Name: "cuchara", Mass: 12}}}
	r := dye.Recipe{Materials: []dye.Material{{Key: "root", Latin: "Rubia tinctorum"}}}
	if got := house.KitchensFor(r); got["root"].Mass != 90 || got["alum"].Name != "cuchara" {
		t.Errorf("measures %v", got)
	}
}
