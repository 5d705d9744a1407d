package demo

import "urdir/internal/workshop"

// keepHook notes where the shop at the quay would like to be told of orders. It is
// switched off: nobody is there.
func (s *season) keepHook() error {
	head := s.people[accounts[0].login]
	k, _, err := s.house.SaveHook(s.ctx, head, workshop.Kept[workshop.Hook]{Value: workshop.Hook{Name: "Tienda del muelle", URL: "https://muelle.example/urdir",
		Events: []string{"order.confirmed", "order.finished", "order.promised"}}})
	if err != nil {
		return err
	}
	k.Value.State = workshop.HookOff
	_, _, err = s.house.SaveHook(s.ctx, head, k)
	return err
}
