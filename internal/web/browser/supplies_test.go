package browser_test

import (
	"fmt"
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// TestSupplies_storyAndAnotherLot buys what a bath takes, follows a piece's yarn to
// its plant and from the plant back to the piece, and tries another lot in an
// order, by what the pages show.
func TestSupplies_storyAndAnotherLot(t *testing.T) {
	for _, c := range []struct {
		name string
		screen
	}{
		{"telephone in Spanish", telephone},
		{"desk in English", desk},
		{"without scripts", screen{wide: 390, lang: "es"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			w := newWorld(t)
			v := &visitor{world: w, screen: c.screen, tab: w.open(t, c.screen)}
			v.signIn(workshop.Dyer)
			v.buys(t)
			v.followsYarn(t)
			v.findsColour(t)
			v.triesLot(t)
		})
	}
}

// visitor is the dyer with a screen.
type visitor struct {
	world
	screen
	*tab
}

// sound looks for what keeps people from using the page, where scripts run: what
// looks is one.
func (v *visitor) sound(t *testing.T) {
	t.Helper()
	if v.script {
		v.check(t, v.path())
	}
}

// says fails the test if the page does not say a text.
func (v *visitor) says(t *testing.T, text string) {
	t.Helper()
	if !strings.Contains(v.text(), text) {
		t.Errorf("%s does not say %q:\n%s", v.path(), text, v.text())
	}
}

// buys has lime come in twice, and some of it spoil.
func (v *visitor) buys(t *testing.T) {
	v.follow(v.T("yarn-room"))
	v.follow(v.T("supplies"))
	v.sound(t)
	v.follow(v.T("supply-new"))
	v.write(v.T("supply-what"), v.T("substance-lime"))
	v.write(v.T("supply-name"), "Cal del horno nuevo")
	v.write(v.T("supply-gathered"), "Calera de la Peña")
	v.write(v.T("grams-in"), "2 kg")
	v.write(v.words.T("supply-cost", map[string]any{"currency": "USD"}), "1.50")
	v.sound(t)
	v.press(v.T("save"))
	v.says(t, v.T("hazard-alkali")) // where it is stored
	v.write(v.T("grams-in"), "500")
	v.press(v.T("receive"))
	v.says(t, map[string]string{"es": "2,5", "en": "2.5"}[v.words.Base]+"\u202fkg")
	v.sound(t)
}

// followsYarn goes from a piece to the plant that dyed it, and back by the plant's
// own page.
func (v *visitor) followsYarn(t *testing.T) {
	piece, lot, bag := v.traced(t)
	v.visit("/pieces/" + piece.ID)
	v.sound(t)
	v.click(fmt.Sprintf(`main a[href^="/yarn/%s"]`, lot), "")
	v.says(t, v.T("story-plants"))
	v.sound(t)
	v.click(fmt.Sprintf(`main a[href="/supplies/%s"]`, bag), "")
	v.says(t, v.T("supply-dyeings"))
	v.sound(t)
	v.click(`main a[href^="/dye/"]`, "")
	v.click(fmt.Sprintf(`main a[href^="/yarn/%s"]`, lot), "")
	v.click(fmt.Sprintf(`main a[href="/pieces/%s"]`, piece.ID), "")
	if got := v.path(); got != "/pieces/"+piece.ID {
		t.Errorf("the way back ends at %s", got)
	}
}

// traced is a piece of the demo, a lot in it that was dyed here, and a plant of that
// bath: only to know where to begin and what to press.
func (v *visitor) traced(t *testing.T) (piece workshop.TracedPiece, lot, bag string) {
	t.Helper()
	all, err := v.house.Dyeings(t.Context(), v.head, workshop.Page{})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range all.Items {
		s, err := v.house.Story(t.Context(), v.head, d.Value.Lot)
		if err != nil {
			t.Fatal(err)
		}
		for _, u := range s.Used {
			if strings.Contains(u.Supply.Value.What, " ") && len(s.Pieces) > 0 { // a Latin name
				supply, err := v.house.Supply(t.Context(), v.head, u.Supply.ID)
				if err != nil {
					t.Fatal(err)
				}
				if supply.Dyeings[0].ID == d.ID { // its page's first link
					return s.Pieces[0], d.Value.Lot, u.Supply.ID
				}
			}
		}
	}
	t.Fatal("the demo has no piece of yarn that was dyed here")
	return piece, "", ""
}

// findsColour looks for a colour on the shelf.
func (v *visitor) findsColour(t *testing.T) {
	v.follow(v.T("yarn-room"))
	v.follow(v.T("shelf"))
	v.sound(t)
	v.write(v.T("shelf-typed"), "46; 46; -1")
	v.click(`main button[value="wish"]`, "")
	v.says(t, v.T("shelf-near"))
	v.sound(t)
}

// triesLot looks at another lot in a line of an order, and takes it.
func (v *visitor) triesLot(t *testing.T) {
	o := v.anOrder(t)
	yarn := o.Lines[0].Wants[0]
	v.visit("/orders/" + o.ID)
	v.follow(v.T("instead-try"))
	v.choose(v.T("instead-yarn"), strings.TrimSpace(yarn.Need.Letter+" "+yarn.Need.Label))
	option := eval[string](v.tab, "a lot", `document.querySelector("#f-lot option:not([value='`+yarn.Lot.ID+`'])").text`)
	v.choose(v.T("instead-lot"), option)
	v.press(v.T("compare-go"))
	v.sound(t)
	if drawn := eval[int](v.tab, "pictures", `[...document.querySelectorAll(".beside img")].filter(e => e.complete && e.naturalWidth > 0).length`); drawn != 4 {
		t.Errorf("%d pictures are drawn, want 4", drawn)
	}
	v.press(v.T("instead-use"))
	v.says(t, strings.Split(option, ",")[0])
	now, err := v.house.Order(t.Context(), v.head, o.ID)
	if err != nil {
		t.Fatal(err)
	}
	if got := now.Lines[0].Wants[0].Lot; got.ID == yarn.Lot.ID || !strings.HasPrefix(option, strings.TrimSpace(got.Value.Letter+" "+got.Value.Label)) {
		t.Errorf("the order has the lot %q, want %q", got.Value.Label, option)
	}
}

// anOrder is an order whose warps wait, with lots for all its yarns.
func (v *visitor) anOrder(t *testing.T) workshop.OrderView {
	t.Helper()
	all, _, err := v.house.Orders(t.Context(), v.head, workshop.Page{State: "open"})
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range all.Items {
		o, err := v.house.Order(t.Context(), v.head, k.ID)
		if err != nil {
			t.Fatal(err)
		}
		if o.Lines[0].Wants[0].Lot.ID != "" && o.Jobs[0].Value.State() == workshop.Waiting {
			return o
		}
	}
	t.Fatal("the demo has no order whose warps wait")
	return workshop.OrderView{}
}
