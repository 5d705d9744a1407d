package workshop

import (
	"encoding/json"

	"urdir/price"
)

// UnmarshalJSON reads settings as they are kept. Until November 2026 what an hour was
// paid stood by itself; it is what was agreed for a kind of work of which nothing else
// was said.
func (s *Settings) UnmarshalJSON(body []byte) error {
	type plain Settings
	older := struct {
		*plain
		Rates map[string]Money
	}{plain: (*plain)(s)}
	if err := json.Unmarshal(body, &older); err != nil {
		return err
	}
	for kind, rate := range older.Rates {
		if _, said := s.Money.Pay[kind]; said || rate.Minor == 0 {
			continue
		}
		if s.Money.Pay == nil {
			s.Money.Pay = map[string]price.Pay{}
		}
		s.Money.Pay[kind] = price.Pay{Per: price.PerHour, Rate: rate}
	}
	return nil
}
