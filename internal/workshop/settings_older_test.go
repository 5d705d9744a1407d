package workshop

import (
	"encoding/json"
	"testing"

	"urdir/price"
)

// What an hour was paid, as settings kept it until November 2026, is what was agreed;
// what was agreed otherwise stays.
func TestSettings_older(t *testing.T) {
	t.Parallel()
	older := `{"Name": "Taller", "Currency": "USD", "Rates": {"lay": {"minor": 350, "currency": "USD"}, "weave": {"minor": 400, "currency": "USD"}, "sew": {}},
		"Money": {"PayDay": 5, "Pay": {"weave": {"per": "piece", "rate": {"minor": 2500, "currency": "USD"}}}}}`
	var s Settings
	if err := json.Unmarshal([]byte(older), &s); err != nil {
		t.Fatal(err)
	}
	lay, weave := price.Pay{Per: price.PerHour, Rate: usd(350)}, price.Pay{Per: price.PerPiece, Rate: usd(2500)}
	if s.Name != "Taller" || s.Money.PayDay != 5 || len(s.Money.Pay) != 2 || s.Agreed("lay") != lay || s.Agreed("weave") != weave {
		t.Errorf("read %+v", s)
	}
	var again Settings
	body := must(json.Marshal(s))
	if err := json.Unmarshal(body, &again); err != nil || again.Agreed("lay") != lay || len(again.Money.Pay) != 2 {
		t.Errorf("read again %s: %v", body, err)
	}
}
