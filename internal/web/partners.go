package web

import (
	"urdir/internal/workshop"
)

// partnersView is what this workshop and those it shares with show each other,
// and nothing else.
type partnersView struct {
	Mine     workshop.Shared
	Others   []workshop.Shared
	Partners []workshop.PartnerView // for the head
	Offers   []workshop.Kept[workshop.YarnOffer]
	Lots     []workshop.Kept[workshop.Lot]
	Names    map[string]workshop.Lot // of lots that are offered
	Code     string                  // of a new invitation, shown once
}

func (v *visit) partnersView() (view partnersView, err error) {
	ctx, h := v.r.Context(), v.s.house
	if view.Mine, view.Others, err = h.Federation(ctx, v.Person); err != nil {
		return view, err
	}
	if v.May("Partners") {
		if view.Partners, err = h.Partners(ctx, v.Person); err != nil {
			return view, err
		}
	}
	if view.Offers, err = h.YarnOffers(ctx, v.Person); err != nil {
		return view, err
	}
	l, _, err := h.Lots(ctx, v.Person, workshop.Page{})
	view.Lots, view.Names = l.Items, map[string]workshop.Lot{}
	for _, k := range l.Items {
		view.Names[k.ID] = k.Value
	}
	return view, err
}

func partnersPage(v *visit) error {
	view, err := v.partnersView()
	if err != nil {
		return err
	}
	return v.page("partners", v.T("partners"), view)
}

// partnersRefused shows the page with what was refused.
func (v *visit) partnersRefused(err error) error {
	view, failed := v.partnersView()
	if failed != nil {
		return failed
	}
	return v.again(err, "partners", v.T("partners"), view)
}

// invitePartner makes an invitation for another workshop and shows its code once.
func invitePartner(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	code, err := v.s.house.InvitePartner(v.r.Context(), v.Person, f.text("name"))
	if err != nil {
		return v.partnersRefused(err)
	}
	view, err := v.partnersView()
	if err != nil {
		return err
	}
	view.Code = code
	return v.page("partners", v.T("partners"), view)
}

func answerPartner(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err = v.mayTry(f, "code", "from "+from(v.r)); err != nil {
		return v.partnersRefused(err)
	}
	if _, err = v.s.house.AnswerPartner(v.r.Context(), v.Person, f.text("code")); err != nil {
		return v.partnersRefused(err)
	}
	return v.to("/partners", "answered")
}

func agreePartner(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if _, err = v.s.house.AgreePartner(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision()); err != nil {
		return v.partnersRefused(err)
	}
	return v.to("/partners", "agreed")
}

func endPartner(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err = v.s.house.EndPartner(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision()); err != nil {
		return v.partnersRefused(err)
	}
	return v.to("/partners", "ended")
}

func offerYarn(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	offer := workshop.YarnOffer{Lot: f.text("lot"), Grams: f.grams("grams"), Note: f.text("note")}
	if err = f.err(); err == nil {
		_, err = v.s.house.OfferYarn(v.r.Context(), v.Person, workshop.Kept[workshop.YarnOffer]{Value: offer})
	}
	if err != nil {
		if workshop.CodeOf(err) == workshop.NotFound { // no lot was chosen
			f.ps.Wrong("lot", "field-empty", nil)
			err = f.err()
		}
		return v.partnersRefused(err)
	}
	return v.to("/partners", "offered")
}

func withdrawYarn(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err = v.s.house.WithdrawYarn(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision()); err != nil {
		return v.partnersRefused(err)
	}
	return v.to("/partners", "withdrawn")
}

// serverView is the workshops of the server, for whoever looks after it.
type serverView struct {
	Workshops []workshop.Tenant
	Invite    string // the link of a new workshop's head, shown once
}

func (v *visit) serverView() (view serverView, err error) {
	if err = v.s.house.ServerKeeper(v.r.Context(), v.Person); err == nil {
		view.Workshops, err = v.s.house.Workshops(v.r.Context())
	}
	return view, err
}

func serverPage(v *visit) error {
	view, err := v.serverView()
	if err != nil {
		return err
	}
	return v.page("server", v.T("server"), view)
}

// newWorkshop makes a workshop beside the others and shows its head's invitation
// once.
func newWorkshop(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.serverView()
	if err != nil {
		return err
	}
	_, key, err := v.s.house.NewWorkshop(v.r.Context(), f.text("workshop"), f.text("name"), f.text("login"), f.text("lang"))
	if err != nil {
		return v.again(err, "server", v.T("server"), view)
	}
	if view, err = v.serverView(); err != nil {
		return err
	}
	view.Invite = v.address() + "/invite/" + key
	return v.page("server", v.T("server"), view)
}
