package demo

import (
	"urdir/check"
	"urdir/internal/workshop"
)

// Another workshop of the server, with which the cooperative shares how loaded it
// is and which yarn it can spare.
const (
	neighbours     = "Hilanderas de la Otra Orilla"
	neighbourHead  = "Eufrasia Landín"
	neighbourLogin = "eufrasia"
)

// neighbour sets the other workshop up; it answers an invitation.
func (s *season) neighbour() error {
	head, err := s.house.SetUp(s.ctx, neighbours, neighbourHead, neighbourLogin, passphrase, s.lang)
	if err != nil {
		return err
	}
	for _, m := range []workshop.Member{{Name: neighbourHead, Skills: []string{"lay", "weave"}, Hours: 20, Languages: spanish},
		{Name: "Rosaura Pinel", Skills: []string{"weave"}, Hours: 16, Languages: spanish}} {
		if _, err = s.house.SaveMember(s.ctx, head, workshop.Kept[workshop.Member]{Value: m}); err != nil {
			return err
		}
	}
	lot, err := s.house.SaveLot(s.ctx, head, workshop.Kept[workshop.Lot]{Value: cotton("Hueso", "H", "#e9e0cf", thick, 250, 500)})
	if err != nil {
		return err
	}
	if err = s.house.Receive(s.ctx, head, lot.ID, 3000, usd(4200), ""); err != nil {
		return err
	}
	if err = s.offer(head, lot.ID, workshop.YarnOffer{Grams: 1200, Note: "Sobra de las hamacas; se entrega en la lancha."}); err != nil {
		return err
	}
	code, err := s.house.InvitePartner(s.ctx, s.head(), neighbours)
	if err != nil {
		return err
	}
	if _, err = s.house.AnswerPartner(s.ctx, head, code); err != nil {
		return err
	}
	mine, err := s.house.Partners(s.ctx, s.head())
	if err != nil {
		return err
	}
	if _, err = s.house.AgreePartner(s.ctx, s.head(), mine[0].ID, mine[0].Revision); err != nil {
		return err
	}
	return s.offer(s.head(), s.lots["crema"].ID, workshop.YarnOffer{Grams: 500, Note: "Dos madejas, del mismo baño."})
}

func (s *season) offer(p workshop.Person, lot string, o workshop.YarnOffer) error {
	o.Lot = lot
	_, err := s.house.OfferYarn(s.ctx, p, workshop.Kept[workshop.YarnOffer]{Value: o})
	return err
}

// sayings is what members said from home the evening before: nobody has heard it.
func (s *season) sayings() error {
	for i, login := range []string{"benita", "zoila"} {
		p := s.people[login]
		t := workshop.Telling{Account: p.Account, Key: "demo-saying-" + login, Kind: workshop.MoreWork, Until: s.date(20 + i)}
		h, err := s.house.Hand(s.ctx, p)
		if err != nil {
			return err
		}
		if i > 0 && len(h.Jobs) > 0 && len(h.Jobs[0].Bag) > 0 {
			t = workshop.Telling{Account: p.Account, Key: t.Key, Kind: workshop.AskYarn, Job: h.Jobs[0].ID, Lot: h.Jobs[0].Bag[0].Lot, Grams: 50}
		}
		if _, err = s.house.TellHand(s.ctx, p, t, func(ps check.Problems) string { return ps.Error() }); err != nil {
			return err
		}
	}
	return nil
}
