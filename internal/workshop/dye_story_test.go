package workshop

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"urdir/colour"
	"urdir/measure"
)

// dyed is a cloth with two yarns that are to be dyed and one that is not.
const dyed = `urdir: 1
name: Chalina de dos rojos
yarns:
  crudo: {count: Ne 8/2, fibre: cotton, colour: "#e9e1d0"}
  rojo: {count: Ne 8/2, fibre: cotton, colour: "#a8442f"}
  rosa: {count: Ne 8/2, fibre: cotton, colour: "#d99a86"}
warps:
  main:
    sett: 30 /cm
    stripes:
      - 100 crudo
      - 200 rojo
      - 100 rosa
weft: crudo
picks: 6 /cm
panels:
  chalina: {warp: main, length: 60 cm, bands: [{woven: rest}]}
`

// dyeShop is a workshop with a pot, undyed cotton, and an order that wants
// two reds of madder.
func dyeShop(t *testing.T, address string) (s *shop, order OrderView, bare Kept[Lot]) {
	t.Helper()
	s = newShop(t, address)
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Pots = []Pot{{"Olla grande", 60}} // one, so that the pale lot is dyed another day and the left bath is worth having
	set.Value.Dye.Waters = []string{"pozo"}
	must(s.h.SaveSettings(ctx, s.head, set))
	bare = must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Algodón crudo", Letter: "A", Colour: "#e9e1d0", Fibre: "cotton", Count: "Ne 8/2",
		Skein: 100, Dye: LotDye{Undyed: true}}}))
	must(0, s.h.Receive(ctx, s.dyer, bare.ID, 5000, Money{}, ""))
	o := s.draft(dyed, 1)
	must(s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision))
	order = must(s.h.Order(ctx, s.head, o.ID))
	wishes := map[string]Wish{"rojo": {Recipe: "madder-cotton"}, "rosa": {Recipe: "madder-cotton", Strength: 0.1}}
	must(s.h.WishDye(ctx, s.dyer, order.ID, order.Lines[0].ID, order.Revision, wishes))
	weft := must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Crudo para trama", Colour: "#e9e1d0", Fibre: "cotton", Count: "Ne 8/2"}}))
	must(0, s.h.Receive(ctx, s.dyer, weft.ID, 2000, Money{}, ""))
	order = must(s.h.Order(ctx, s.head, o.ID))
	must(s.h.ChooseLots(ctx, s.dyer, order.ID, order.Lines[0].ID, order.Revision, map[string]string{"crudo": weft.ID}))
	return s, must(s.h.Order(ctx, s.head, o.ID)), bare
}

// From the wish to the finished piece and back to the plant: two lots of madder,
// the pale one in the bath the strong one left.
func TestDye_story(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s, order, bare := dyeShop(t, address)
		if k, _ := order.Thread.Now(); k.Block != "block-plan-dye" {
			t.Errorf("the thread waits for %q", k.Block)
		}
		root := must(s.h.Buy(ctx, s.dyer, Kept[Supply]{Value: Supply{What: "Rubia tinctorum", Name: "rubia", Gathered: "Quebrada del Molle", Expires: "2032-01-01"}},
			Purchase{Mass: 1000, Cost: Money{Minor: 2500, Currency: "USD"}, From: "Doña Eulalia"}))

		plan := must(s.h.ProposeDye(ctx, s.dyer, DyeSteps))
		if len(plan.Wants) != 2 || len(plan.Left) != 0 || len(plan.Plan.Lots) != 2 || plan.Plan.Score.After != 1 {
			t.Fatalf("%d wants, %d left, plan %+v, %v", len(plan.Wants), len(plan.Left), plan.Plan.Score, plan.About)
		}
		made := must(s.h.AcceptDye(ctx, s.dyer, plan.Mark, DyeSteps))
		if len(made) != 2 || made[1].Value.After != made[0].ID || made[0].Value.From != bare.ID {
			t.Fatalf("made %+v", made)
		}
		order = must(s.h.Order(ctx, s.head, order.ID))
		if k, _ := order.Thread.Now(); k.Block != "block-dye" {
			t.Errorf("after planning the thread waits for %q", k.Block)
		}
		again := must(s.h.ProposeDye(ctx, s.dyer, DyeSteps))
		if len(again.Wants) != 2 || again.Planned != 2 {
			t.Errorf("planned again: %d wants in place of %d dyeings", len(again.Wants), again.Planned)
		}

		red := s.dye(made[0], bare.ID, map[string]measure.Gram{root.ID: 40})
		s.dye(made[1], bare.ID, nil)
		order = must(s.h.Order(ctx, s.head, order.ID))
		if !order.Thread.done("dye") {
			t.Errorf("the thread: %s", said(order.Thread))
		}
		s.woven(order.Jobs[0], s.weaver)
		must(s.h.Finish(ctx, s.seller, order.Pieces[0].ID, order.Pieces[0].Revision, 40, 60, 20, ""))
		s.balanced()

		story := must(s.h.Story(ctx, s.seller, red.Value.Lot))
		if story.Dyeing == nil || story.Dyeing.ID != red.ID || story.From == nil || story.From.ID != bare.ID ||
			len(story.Used) != 1 || story.Used[0].Supply.Value.Gathered != "Quebrada del Molle" || len(story.Jobs) != 1 ||
			len(story.Pieces) != 1 || story.Pieces[0].ID != order.Pieces[0].ID || story.Pieces[0].Mass <= 0 {
			t.Errorf("story of the red: %+v", story)
		}
		back := must(s.h.Story(ctx, s.seller, bare.ID))
		if len(back.Onward) != 2 {
			t.Errorf("the bare yarn went into %d lots", len(back.Onward))
		}
		bag := must(s.h.Supply(ctx, s.seller, root.ID))
		if len(bag.Dyeings) != 1 || bag.Dyeings[0].Mass != 40 || bag.OnShelf != 960 || len(bag.Purchases) != 1 {
			t.Errorf("the bag of madder: %+v", bag)
		}
		learnt, plants, err := s.h.Reached(ctx, s.head)
		if err != nil || len(learnt) != 2 || len(plants) != 1 || learnt[0].Water != "pozo" || learnt[0].Moon == "" {
			t.Errorf("learnt %+v of %v, %v", learnt, plants, err)
		}
	})
}

// dye takes a dyeing from the shelf to the judge.
func (s *shop) dye(d Kept[Dyeing], bare string, used map[string]measure.Gram) Kept[Dyeing] {
	s.Helper()
	d = must(s.h.Dyeing(ctx, s.dyer, d.ID)).Kept
	d = must(s.h.BeginDyeing(ctx, s.dyer, d.ID, d.Revision, bare, d.Value.Mass))
	for n := range d.Value.Days {
		took := used
		if n < len(d.Value.Days)-1 {
			took = nil
		}
		d = must(s.h.DoneStage(ctx, s.dyer, d.ID, d.Revision, DyeFact{Dyer: "Delfina", Water: "pozo", Hottest: 65, Time: 60}, took, nil))
	}
	d = must(s.h.OutOfBath(ctx, s.dyer, d.ID, d.Revision, d.Value.Mass*1.02))
	d = must(s.h.ColourDyeing(ctx, s.dyer, d.ID, d.Revision, *d.Value.Standard, "typed", nil))
	return must(s.h.JudgeDyeing(ctx, s.dyer, d.ID, d.Revision, true, ""))
}

// Everything told of a dyeing can be taken back, one by one, down to the plan;
// the books close at each step.
func TestDye_undo(t *testing.T) {
	s, _, bare := dyeShop(t, file(t))
	plan := must(s.h.ProposeDye(ctx, s.dyer, 100))
	d := must(s.h.AcceptDye(ctx, s.dyer, plan.Mark, 100))[0]
	before := s.stock()
	d = s.dye(d, bare.ID, nil)
	lot := must2(s.h.Lot(ctx, s.dyer, d.Value.Lot))
	if lot.OnShelf == 0 || lot.Value.Waiting || lot.Value.Dyed == "" || lot.Value.Dye.Measured == nil {
		t.Fatalf("the lot: %+v", lot)
	}
	for len(d.Value.Facts) > 0 {
		d = must(s.h.UndoDyeing(ctx, s.dyer, d.ID, d.Revision))
		s.balanced()
	}
	_, err := s.h.UndoDyeing(ctx, s.dyer, d.ID, d.Revision)
	wantProblem(t, "undoing nothing", err, "", "nothing-to-undo")
	lot = must2(s.h.Lot(ctx, s.dyer, d.Value.Lot))
	if lot.OnShelf != 0 || !lot.Value.Waiting || lot.Value.Dyed != "" || lot.Value.Dye.Measured != nil || lot.Value.Dye.Rejected {
		t.Errorf("the lot after all is undone: %+v", lot)
	}
	if now := s.stock(); len(now) != len(before) {
		t.Errorf("stock before %v, after %v", before, now)
	}
}

func must2[T, U any](v T, _ U, err error) T { return must(v, err) }

// What is asked of the dye house and cannot be is refused in words.
func TestDye_refused(t *testing.T) {
	s, order, bare := dyeShop(t, file(t))
	line := order.Lines[0].ID
	for name, c := range map[string]struct {
		wish Wish
		code string
	}{
		"a recipe for wool":    {Wish{Recipe: "madder-wool"}, "dye-for-protein"},
		"300 % of dry root":    {Wish{Recipe: "madder-cotton", Strength: 3}, "dye-strength"},
		"less than nothing":    {Wish{Recipe: "madder-cotton", Strength: -1}, "dye-strength"},
		"a recipe nobody has":  {Wish{Recipe: "dragon"}, "dye-recipe-gone"},
		"a name with a letter": {Wish{Recipe: "ru\x00bia"}, "dye-recipe-gone"},
	} {
		_, err := s.h.WishDye(ctx, s.dyer, order.ID, line, order.Revision, map[string]Wish{"rojo": c.wish})
		wantProblem(t, name, err, "dye.rojo"+map[bool]string{true: ".fibre", false: ""}[c.code == "dye-for-protein"]+
			map[bool]string{true: ".strength", false: ""}[c.code == "dye-strength"], c.code)
	}

	plan := must(s.h.ProposeDye(ctx, s.dyer, 100))
	_, err := s.h.AcceptDye(ctx, s.dyer, "0123", 100)
	wantProblem(t, "another plan", err, "", "dye-plan-changed")
	d := must(s.h.AcceptDye(ctx, s.dyer, plan.Mark, 100))[0]

	_, err = s.h.DoneStage(ctx, s.dyer, d.ID, d.Revision, DyeFact{}, nil, nil)
	wantProblem(t, "a stage before the yarn is in", err, "", "dyeing-not-begun")
	_, err = s.h.BeginDyeing(ctx, s.dyer, d.ID, d.Revision, bare.ID, 6000)
	wantProblem(t, "more yarn than there is", err, "grams", "stock-short")
	wool := must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Lana", Colour: "#ffffff", Fibre: "wool", Dye: LotDye{Undyed: true}}}))
	must(0, s.h.Receive(ctx, s.dyer, wool.ID, 5000, Money{}, ""))
	_, err = s.h.BeginDyeing(ctx, s.dyer, d.ID, d.Revision, wool.ID, 100)
	wantProblem(t, "wool into a bath for cotton", err, "from", "dye-no-fibre")

	d = must(s.h.BeginDyeing(ctx, s.dyer, d.ID, d.Revision, bare.ID, 100))
	_, err = s.h.DoneStage(ctx, s.dyer, d.ID, d.Revision, DyeFact{Hottest: 130, Time: -1}, nil, nil)
	wantProblem(t, "hotter than it boils", err, "hottest", "dye-above-boiling")
	wantProblem(t, "a negative time", err, "time", "dye-time")
	_, err = s.h.OutOfBath(ctx, s.dyer, d.ID, d.Revision, 100)
	wantProblem(t, "out before it is dyed", err, "", "dyeing-stages-left")
	for range d.Value.Days {
		d = must(s.h.DoneStage(ctx, s.dyer, d.ID, d.Revision, DyeFact{}, nil, nil))
	}
	_, err = s.h.OutOfBath(ctx, s.dyer, d.ID, d.Revision, 400)
	wantProblem(t, "four times as heavy", err, "grams", "dyeing-mass")
	d = must(s.h.OutOfBath(ctx, s.dyer, d.ID, d.Revision, 99))
	job := order.Jobs[0]
	_, err = s.h.GiveOut(ctx, s.dyer, job.ID, job.Revision, s.weaver.Member, map[string]measure.Gram{d.Value.Lot: 10}, Money{})
	wantProblem(t, "giving out what nobody judged", err, "grams."+d.Value.Lot, "lot-not-accepted")
	_, err = s.h.ColourDyeing(ctx, s.dyer, d.ID, d.Revision, colour.Lab{L: 140}, "typed", nil)
	wantProblem(t, "no colour", err, "colour", "colour-range")
	far := colour.Lab{L: 80}
	d = must(s.h.ColourDyeing(ctx, s.dyer, d.ID, d.Revision, far, "photo", &Picture{"image/png", []byte("x")}))
	_, err = s.h.JudgeDyeing(ctx, s.dyer, d.ID, d.Revision, true, "")
	wantProblem(t, "accepting it without a word", err, "note", "lot-accepted-why")
	must(s.h.JudgeDyeing(ctx, s.dyer, d.ID, d.Revision, false, "gris"))
	order = must(s.h.Order(ctx, s.head, order.ID))
	if order.Thread.done("dye") {
		t.Error("an order goes on with a rejected lot")
	}
	again := must(s.h.ProposeDye(ctx, s.dyer, 100))
	if i := slices.IndexFunc(again.Wants, func(w DyeWant) bool { return w.Refused == d.Value.Lot }); i < 0 {
		t.Error("what a rejected lot was for is not wanted again")
	}
	must(s.h.AcceptDye(ctx, s.dyer, again.Mark, 100))
	if now := must(s.h.Order(ctx, s.head, order.ID)); now.Lines[0].Lots["rojo"] == d.Value.Lot || now.Lines[0].Lots["rojo"] == "" {
		t.Errorf("after planning again the lot is %q", now.Lines[0].Lots["rojo"])
	}
	s.balanced()
}

// A cloth that says how its yarn is dyed is wanted dyed so, unless the order says
// otherwise.
func TestDye_ofTheCloth(t *testing.T) {
	s, _, _ := dyeShop(t, file(t))
	text := strings.Replace(dyed, `colour: "#d99a86"}`, `colour: "#d99a86", dye: madder-cotton, dyestuff: 10 %}`, 1)
	o := s.draft(text, 1)
	must(s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision))
	wanted := func() (out []string) {
		for _, w := range must(s.h.ProposeDye(ctx, s.dyer, 0)).Wants {
			if w.Order == o.ID {
				out = append(out, fmt.Sprint(w.Yarn, " ", w.Wish.Recipe, " ", w.Wish.Strength))
			}
		}
		return out
	}
	if got := wanted(); !slices.Equal(got, []string{"rosa madder-cotton 0.1"}) {
		t.Errorf("wanted %v", got)
	}
	v := must(s.h.Order(ctx, s.head, o.ID))
	must(s.h.WishDye(ctx, s.dyer, o.ID, v.Lines[0].ID, v.Revision, nil))
	if got := wanted(); len(got) != 0 {
		t.Errorf("against the cloth: wanted %v", got)
	}
}
