package sheet_test

import (
	"testing"

	"urdir/internal/lang"
	"urdir/sheet"
)

// Hours times the rate must be what was paid: a third of an hour is not 0.3 h.
func TestWorkTime(t *testing.T) {
	w, err := lang.For("es")
	if err != nil {
		t.Fatal(err)
	}
	const gap = "\u202f"
	for minutes, want := range map[int64]string{0: "0" + gap + "min", 20: "20" + gap + "min", 60: "1 h", 90: "1 h 30" + gap + "min", 3000: "50 h", 123450: "2057 h 30" + gap + "min"} {
		if got := sheet.WorkTime(w, minutes); got != want {
			t.Errorf("%d min: got %q, want %q", minutes, got, want)
		}
	}
}
