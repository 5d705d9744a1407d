package web

import "urdir/internal/workshop"

// invitePage asks whoever is invited to choose a passphrase; the page, and not the
// link itself, takes the invitation up.
func invitePage(v *visit) error {
	p, err := v.s.house.Invited(v.r.Context(), v.r.PathValue("key"))
	v.speak(p)
	if workshop.CodeOf(err) == workshop.Invalid {
		return v.again(err, "invite", v.T("invite-title"), p)
	}
	if err != nil {
		return err
	}
	return v.page("invite", v.T("invite-title"), p)
}

func acceptInvite(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	key := v.r.PathValue("key")
	p, err := v.s.house.Invited(v.r.Context(), key) // for the page, should the passphrase not do
	if err != nil && workshop.CodeOf(err) != workshop.Invalid {
		return err
	}
	v.speak(p)
	if err = v.mayTry(f, "passphrase", "from "+from(v.r)); err != nil {
		return v.again(err, "invite", v.T("invite-title"), p)
	}
	_, session, err := v.s.house.AcceptInvite(v.r.Context(), key, f.text("passphrase"))
	if err != nil {
		return v.again(err, "invite", v.T("invite-title"), p)
	}
	v.remember(session)
	return v.to("/", "started")
}

// inviteSomeone makes an invitation for an account and shows its link once.
func inviteSomeone(v *visit) error {
	id := v.r.PathValue("id")
	key, err := v.s.house.Invite(v.r.Context(), v.Person, id)
	if err != nil {
		return err
	}
	view, err := v.accountView(id)
	if err != nil {
		return err
	}
	view.Invite = v.address() + "/invite/" + key
	return v.page("account-form", v.accountTitle(view), view)
}
