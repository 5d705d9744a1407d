package screen_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"urdir/clothfile"
	"urdir/internal/screen"
	"urdir/warp/tie"
)

type tiedState struct {
	Tied []struct {
		Key, Count, Bundle string
		Rows               []struct{ Name, Ends, From, To, Every string }
	}
	Refused []struct{ Text string }
	Undo    string
}

func tiedDesk(t *testing.T, kind string) (*screen.Desk, func(ask string) tiedState) {
	t.Helper()
	text, err := os.ReadFile("../../examples/" + kind + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := screen.Open(string(text), "es", screen.Bench{})
	if err != nil {
		t.Fatal(err)
	}
	return d, func(ask string) (s tiedState) {
		t.Helper()
		if err := json.Unmarshal([]byte(d.Ask(ask)), &s); err != nil {
			t.Fatal(err)
		}
		return s
	}
}

func TestDesk_ties(t *testing.T) {
	d, ask := tiedDesk(t, "scarf")
	s := ask(`{"do": "tie", "at": {"key": "scarf"}, "tie": {"ends": "10-40", "from": "20", "to": "35 cm"}}`)
	if got := s.Tied[0].Rows; len(got) != 1 || got[0].Name != "marca 1 de 1: hilos 10 a 40, de 20 cm a 35 cm" {
		t.Fatalf("%+v %v", got, s.Refused)
	}
	// 31 ends in bundles of 12 at most are 3, each tied once on each of two scarves.
	if s.Tied[0].Count != "3 atados, 6 amarres en un urdido" || s.Undo != "amarrar" {
		t.Errorf("%q, to undo %q", s.Tied[0].Count, s.Undo)
	}
	s = ask(`{"do": "tie-change", "at": {"key": "scarf"}, "which": 0, "tie": {"ends": "10-40", "from": "20", "to": "35", "every": "50", "mirror": true}}`)
	if got := s.Tied[0]; !strings.HasSuffix(got.Rows[0].Name, ", otra vez cada 50 cm, en espejo") || got.Count != "6 atados, 36 amarres en un urdido" {
		t.Errorf("%+v", got)
	}
	ask(`{"do": "tie-setup", "at": {"key": "scarf"}, "tie": {"undyed": "#ffffff", "bundle": "31", "shift": "5 mm", "before": "50", "begins": "turn"}}`)
	c, _, ps := clothfile.Read([]byte(d.File()))
	if want := (tie.Setup{Before: 0.5, Shift: 0.5, Bundle: 31, AtTurn: true}); ps.Failed() || c.Panels[0].Tied.Setup != want || c.Panels[0].Tied.Undyed != "#ffffff" {
		t.Errorf("%v %+v", ps, c.Panels[0].Tied)
	}
	if s = ask(`{"do": "untie", "at": {"key": "scarf"}, "which": 0}`); len(s.Tied[0].Rows) != 0 || strings.Contains(d.File(), "tied") {
		t.Errorf("still tied: %+v", s.Tied)
	}
	ask(`{"do": "undo"}`)
	if s = ask(`{"do": "untie-all", "at": {"key": "scarf"}}`); len(s.Tied[0].Rows) != 0 {
		t.Errorf("still tied: %+v", s.Tied)
	}
}

// What is drawn counts from the lower edge of the picture: the scarf's fringe is
// 10 cm.
func TestDesk_drawnTie(t *testing.T) {
	_, ask := tiedDesk(t, "scarf")
	s := ask(`{"do": "tie", "at": {"key": "scarf"}, "tie": {"ends": "7", "from": "30", "to": "45.04", "drawn": true}}`)
	if got := s.Tied[0].Rows; len(got) != 1 || got[0].From != "20 cm" || got[0].To != "35 cm" || got[0].Ends != "7" {
		t.Errorf("%+v %v", got, s.Refused)
	}
}

func TestDesk_tiesRefused(t *testing.T) {
	d, ask := tiedDesk(t, "scarf")
	before := d.File()
	for _, q := range []string{
		`{"do": "tie", "at": {"key": "scarf"}, "tie": {"ends": "many", "from": "20", "to": "35"}}`,
		`{"do": "tie", "at": {"key": "scarf"}, "tie": {"ends": "10-4000", "from": "20", "to": "35"}}`,
		`{"do": "tie", "at": {"key": "scarf"}, "tie": {"ends": "10-40", "from": "35", "to": "20"}}`,
		`{"do": "tie", "at": {"key": "scarf"}, "tie": {"ends": "10-40", "from": "20", "to": "35 kg"}}`,
		`{"do": "tie", "at": {"key": "shirt"}, "tie": {"ends": "10-40", "from": "20", "to": "35"}}`,
		`{"do": "tie-change", "at": {"key": "scarf"}, "which": 1, "tie": {"ends": "10-40", "from": "20", "to": "35"}}`,
		`{"do": "untie", "at": {"key": "scarf"}, "which": -1}`,
	} {
		if s := ask(q); len(s.Refused) == 0 || d.File() != before {
			t.Errorf("%s: not refused", q)
		}
	}
}
