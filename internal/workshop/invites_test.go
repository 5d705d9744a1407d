package workshop

import (
	"testing"
	"time"
)

func TestNewWorkshop(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		h, c, first := setUp(t, address)
		_, _, err := h.NewWorkshop(ctx, "", "", "AMARANTA", "xx")
		for _, path := range []string{"workshop", "name"} {
			wantProblem(t, "without names", err, path, "field-empty")
		}
		wantProblem(t, "without a language", err, "language", "value-choice")
		_, _, err = h.NewWorkshop(ctx, "Taller del Cerro", "Rufina Salas", "AMARANTA", "es")
		wantProblem(t, "with another's login", err, "login", "login-taken")
		c.pass(time.Second)
		p, key, err := h.NewWorkshop(ctx, "Taller del Cerro", "Rufina Salas", "Rufina", "es")
		must(0, err)
		if p.Workshop == first.Workshop || p.Role != Head {
			t.Errorf("head: %+v", p)
		}
		if _, _, err = h.SignIn(ctx, "rufina", ""); err == nil {
			t.Error("she signs in without a passphrase")
		}
		if _, _, err = h.SignInByCard(ctx, key); err == nil {
			t.Error("an invitation opens as a card does")
		}
		if w := must(h.Who(ctx, key)); w != (Person{}) {
			t.Errorf("an invitation opens as a session does: %+v", w)
		}
		if got := must(h.Invited(ctx, key)); got != p {
			t.Errorf("invited: %+v, want %+v", got, p)
		}
		_, _, err = h.AcceptInvite(ctx, key, "corta")
		wantProblem(t, "a short passphrase", err, "passphrase", "passphrase-short")
		q, session, err := h.AcceptInvite(ctx, key, phrase)
		must(0, err)
		if q != p || must(h.Who(ctx, session)) != p {
			t.Errorf("entered: %+v, want %+v", q, p)
		}
		_, _, err = h.AcceptInvite(ctx, key, phrase)
		wantProblem(t, "the second time", err, "invitation", "invitation-ended")
		if _, _, err = h.SignIn(ctx, "rufina", phrase); err != nil {
			t.Errorf("sign in: %v", err)
		}

		// The head invites others, for a fortnight; a new invitation ends the old.
		old := must(h.Invite(ctx, p, p.Account))
		key = must(h.Invite(ctx, p, p.Account))
		_, err = h.Invited(ctx, old)
		wantProblem(t, "the one before", err, "invitation", "invitation-ended")
		c.pass((inviteDays*24 + 1) * time.Hour)
		_, err = h.Invited(ctx, key)
		wantProblem(t, "after a fortnight", err, "invitation", "invitation-ended")
		_, err = h.Invite(ctx, p, first.Account)
		wantCode(t, "inviting another workshop's", err, NotFound)
		key = must(h.InviteLogin(ctx, "ámaranta"))
		if got := must(h.Invited(ctx, key)); got.Account != first.Account {
			t.Errorf("invited by login: %+v", got)
		}

		// Closed, nobody enters; the other workshop goes on.
		must(0, h.CloseWorkshop(ctx, p.Workshop))
		if _, _, err := h.SignIn(ctx, "rufina", phrase); err == nil {
			t.Error("someone enters a closed workshop")
		}
		if w := must(h.Who(ctx, session)); w != (Person{}) {
			t.Errorf("a session of a closed workshop: %+v", w)
		}
		if _, _, err := h.SignIn(ctx, "amaranta", phrase); err != nil {
			t.Errorf("the other workshop: %v", err)
		}
		all := must(h.Workshops(ctx))
		if len(all) != 2 || all[0].Closed || !all[1].Closed || all[1].Heads[0] != "rufina" {
			t.Errorf("workshops: %+v", all)
		}
		wantProblem(t, "closing none", h.CloseWorkshop(ctx, "none"), "", "workshop-unknown")
	})
}
