package browser_test

import (
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// TestPrograms makes a token and ends it, and writes down an address that is told of
// orders, by what the pages show.
func TestPrograms(t *testing.T) {
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
			v.visit("/me")
			v.follow(v.T("tokens"))
			v.sound(t)
			v.write(v.T("token-name"), "Caja")
			v.choose(v.T("api-area-orders"), v.T("scope-read"))
			v.press(v.T("token-make"))
			v.sound(t)
			if key := eval[string](v.tab, "token", `document.getElementById("f-key").value`); !strings.HasPrefix(key, "urdir_") {
				t.Errorf("the token is %q", key)
			}
			v.says(t, v.T("api-area-orders")+" ("+v.T("scope-read")+")")
			v.press(v.T("token-drop"))
			v.says(t, v.T("tokens-empty"))

			v.visit("/settings")
			v.follow(v.T("hooks"))
			v.sound(t)
			v.follow(v.T("hook-new"))
			v.write(v.T("name"), "Caja")
			v.write(v.T("hook-url"), "https://caja.example/urdir")
			v.press(v.T("save"))
			v.sound(t)
			v.visit("/settings/hooks")
			v.follow("Caja")
			v.press(v.T("hook-try"))
			v.says(t, v.T("event-ping"))
			v.sound(t)
			v.press(v.T("hook-drop"))
			v.says(t, "Tienda del muelle") // of the demo
		})
	}
}
