package workshop

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

// partnersOf is the states of a workshop's partners.
func (s *shop) partnersOf() (out []string) {
	for _, v := range must(s.h.Partners(ctx, s.head)) {
		out = append(out, string(v.State)+" "+v.Value.Name)
	}
	return out
}

func (s *shop) partner() PartnerView { return must(s.h.Partners(ctx, s.head))[0] }

// Two workshops share how loaded they are and what yarn they offer, from when both
// have agreed until one ends it, and nothing else.
func TestFederation(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		estero := newShop(t, address)
		cerro := addShop(t, estero.h, estero.clock)
		rename(cerro, "Taller del Cerro")
		third := addShop(t, estero.h, estero.clock)
		o := cerro.running("blanket", 1)
		cerro.give(o.Jobs[0], cerro.weaver)
		lot := must(cerro.h.SaveLot(ctx, cerro.dyer, Kept[Lot]{Value: Lot{Label: "Añil", Colour: "#23406e", Fibre: "cotton", Note: "secreto del pozo"}}))
		must(0, cerro.h.db.Update(ctx, cerro.head.Workshop, store.Act{At: cerro.h.now(), Who: "a", What: "Receive"}, func(tx *store.Tx) error {
			return tx.Move(lot.ID, 300_000, Outside, Shelf)
		}))
		must(cerro.h.OfferYarn(ctx, cerro.dyer, Kept[YarnOffer]{Value: YarnOffer{Lot: lot.ID, Grams: 500, Note: "sobra"}}))

		sees := func(s *shop, want int) []Shared {
			t.Helper()
			_, others, err := s.h.Federation(ctx, s.head)
			if err != nil || len(others) != want {
				t.Fatalf("sees %d others, %v; want %d", len(others), err, want)
			}
			return others
		}
		code := must(cerro.h.InvitePartner(ctx, cerro.head, "Las del estero"))
		if diff := cmp.Diff([]string{"invited Las del estero"}, cerro.partnersOf()); diff != "" {
			t.Error(diff)
		}
		_, err := cerro.h.AgreePartner(ctx, cerro.head, cerro.partner().ID, 1)
		wantProblem(t, "agree with nobody", err, "", "partner-unanswered")
		_, err = cerro.h.AnswerPartner(ctx, cerro.head, code)
		wantProblem(t, "answer oneself", err, "code", "invitation-ended")
		for _, wrong := range []string{"", "x", cerro.head.Workshop, cerro.head.Workshop + ".", code + "x", "\x00.x", third.head.Workshop + ".x"} {
			_, err = estero.h.AnswerPartner(ctx, estero.head, wrong)
			wantProblem(t, "answer with "+wrong, err, "code", "invitation-ended")
		}
		must(estero.h.AnswerPartner(ctx, estero.head, " "+code+" "))
		must(estero.h.AnswerPartner(ctx, estero.head, code)) // once more is the same
		_, err = third.h.AnswerPartner(ctx, third.head, code)
		wantProblem(t, "a third", err, "code", "invitation-ended")
		if diff := cmp.Diff([]string{"waits Taller del Cerro"}, estero.partnersOf()); diff != "" {
			t.Error(diff)
		}
		if diff := cmp.Diff([]string{"asks Taller del Estero"}, cerro.partnersOf()); diff != "" {
			t.Error(diff)
		}
		sees(estero, 0)
		sees(cerro, 0)

		p := cerro.partner()
		must(cerro.h.AgreePartner(ctx, cerro.head, p.ID, p.Revision))
		for _, s := range []*shop{estero, cerro} {
			if got := s.partner().State; got != PartnerAgreed {
				t.Errorf("state: %s", got)
			}
		}
		others := sees(estero, 1)
		want := Shared{Name: "Taller del Cerro", WarpsWaiting: len(o.Jobs) - 1, WarpsInWork: 1, HoursOffered: 40, HoursFree: 20,
			Yarn: []SharedYarn{{Label: "Añil", Colour: "#23406e", Fibre: "cotton", Note: "sobra", Day: "2031-05-06", Grams: 300}}}
		if diff := cmp.Diff(want, others[0]); diff != "" {
			t.Errorf("what Cerro shows (-want +got):\n%s", diff)
		}
		said := string(must(json.Marshal(others)))
		for _, secret := range []string{"Benita", "Juncos", "pozo", lot.ID, cerro.head.Workshop, "2031-07-01"} {
			if strings.Contains(said, secret) {
				t.Errorf("it shows %q: %s", secret, said)
			}
		}
		sees(cerro, 1)
		sees(third, 0)
		for _, s := range []*shop{estero, cerro} {
			_, _, err = s.h.Federation(ctx, Person{Workshop: s.head.Workshop, Role: MemberRole, Member: s.weaver.Member})
			wantCode(t, "a member", err, Denied)
		}
		estero.balanced()
		cerro.balanced()

		// Either ends it, at once, for both.
		p = estero.partner()
		must(0, estero.h.EndPartner(ctx, estero.head, p.ID, p.Revision))
		sees(estero, 0)
		sees(cerro, 0)
		if diff := cmp.Diff([]string{"ended Taller del Estero"}, cerro.partnersOf()); diff != "" {
			t.Error(diff)
		}
		_, err = estero.h.AnswerPartner(ctx, estero.head, code)
		wantProblem(t, "the code again", err, "code", "invitation-ended")

		// They may begin anew, and are one partner then.
		code = must(cerro.h.InvitePartner(ctx, cerro.head, "Otra vez"))
		must(estero.h.AnswerPartner(ctx, estero.head, code))
		for _, v := range must(cerro.h.Partners(ctx, cerro.head)) {
			if v.Value.Agreed == "" {
				must(cerro.h.AgreePartner(ctx, cerro.head, v.ID, v.Revision))
			}
		}
		if got := cerro.partnersOf(); len(got) != 1 || got[0] != "agreed Taller del Estero" {
			t.Errorf("partners: %v", got)
		}
		sees(estero, 1)
		sees(cerro, 1)
	})
}

func rename(s *shop, name string) {
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Name = name
	must(s.h.SaveSettings(ctx, s.head, set))
}

// An invitation ends, and so does an offer that is taken back.
func TestFederation_ends(t *testing.T) {
	s := newShop(t, file(t))
	other := addShop(t, s.h, s.clock)
	code := must(s.h.InvitePartner(ctx, s.head, "Otro"))
	s.clock.pass((partnerDays + 1) * 24 * 3600e9)
	_, err := other.h.AnswerPartner(ctx, other.head, code)
	wantProblem(t, "after a fortnight", err, "code", "invitation-ended")
	lot := must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Añil", Colour: "#23406e"}}))
	_, err = s.h.OfferYarn(ctx, s.dyer, Kept[YarnOffer]{Value: YarnOffer{Lot: lot.ID}})
	wantProblem(t, "an offer of nothing", err, "grams", "field-empty")
	_, err = s.h.OfferYarn(ctx, s.dyer, Kept[YarnOffer]{Value: YarnOffer{Lot: "none", Grams: 5}})
	wantCode(t, "an offer of no lot", err, NotFound)
	o := must(s.h.OfferYarn(ctx, s.dyer, Kept[YarnOffer]{Value: YarnOffer{Lot: lot.ID, Grams: 5}}))
	if mine, _, err := s.h.Federation(ctx, s.head); err != nil || len(mine.Yarn) != 0 {
		t.Errorf("yarn the shelf does not hold is shown: %+v, %v", mine, err)
	}
	must(0, s.h.WithdrawYarn(ctx, s.dyer, o.ID, o.Revision))
	if all := must(s.h.YarnOffers(ctx, s.dyer)); len(all) != 0 {
		t.Errorf("offers: %v", all)
	}
}

// A workshop that writes itself down as another's partner sees nothing of it: what
// counts is the other's own record, and PostgreSQL lets nobody else write that.
func TestFederation_forged(t *testing.T) {
	for _, address := range []string{file(t), pgtest.Start(t)} {
		victim := newShop(t, address)
		thief := addShop(t, victim.h, victim.clock)
		must(0, thief.h.update(ctx, thief.head, "AgreePartner", func(tx *store.Tx) error {
			_, err := partners.put(tx, Kept[Partner]{Value: Partner{Other: victim.head.Workshop, Agreed: "2031-01-01"}})
			return err
		}))
		_, others, err := thief.h.Federation(ctx, thief.head)
		if err != nil || len(others) != 0 {
			t.Errorf("sees %+v, %v", others, err)
		}
		if got := thief.partner().State; got != PartnerEnded {
			t.Errorf("state: %s", got)
		}
		// Invited and not agreed with is not enough.
		code := must(victim.h.InvitePartner(ctx, victim.head, "Otro"))
		must(thief.h.AnswerPartner(ctx, thief.head, code))
		if _, others, err = thief.h.Federation(ctx, thief.head); err != nil || len(others) != 0 {
			t.Errorf("sees %+v, %v before the other agreed", others, err)
		}
		p := victim.partner()
		p.Value.Name = "x"
		_, err = thief.h.AgreePartner(ctx, thief.head, p.ID, p.Revision)
		wantCode(t, "agreeing for the other", err, NotFound)
		wantCode(t, "ending the other's", thief.h.EndPartner(ctx, thief.head, p.ID, p.Revision), NotFound)
	}
}
