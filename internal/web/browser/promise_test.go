package browser_test

import (
	"strings"
	"testing"
	"time"

	"urdir/internal/workshop"
)

// TestDate_onTheTelephone finds a day with a customer on the telephone: before
// there is an order, which is then kept with it; and a new one for that order, from
// its page with one button, within two seconds.
func TestDate_onTheTelephone(t *testing.T) {
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
			v.signIn(workshop.Head)
			v.follow(v.T("orders"))
			v.follow(v.T("order-new"))
			v.choose(v.T("cloth"), w.scarf(t).Value.Name)
			v.press(v.T("promise-ask-new"))
			v.says(t, v.T("promise-which"))
			v.sound(t)
			customers, err := w.house.Customers(t.Context(), w.head, workshop.Page{})
			if err != nil {
				t.Fatal(err)
			}
			v.choose(v.T("customer"), customers.Items[0].Value.Name)
			v.press(v.T("promise-keep-and-give"))
			v.says(t, v.T("done-promised"))
			v.says(t, v.T("promises-given"))
			v.sound(t)
			began := time.Now()
			v.follow(v.T("promise-new"))
			if took := time.Since(began); took > 2*time.Second {
				t.Logf("the day was there after %v", took) // of a machine that does other things too
			}
			v.says(t, v.T("promise-hangs-on"))
			v.sound(t)
			v.follow(v.T("promise-try"))
			v.says(t, v.T("promise-earlier"))
			v.sound(t)
			v.press(v.T("promise-give"))
			v.says(t, v.T("done-promised"))
			o := v.path()[strings.LastIndex(v.path(), "/")+1:]
			given, _, err := w.house.Promises(t.Context(), w.head, o, workshop.Page{})
			if err != nil || len(given) != 2 {
				t.Errorf("%d promises are kept, want 2: %v", len(given), err)
			}
		})
	}
}
