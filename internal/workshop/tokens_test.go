package workshop

import (
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/internal/store"
)

// A token may do what it was made for, as long as its owner may, and no more.
func TestTokens_doNoMoreThanTheirOwner(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		s.account(&s.seller)
		_, _, err := s.h.MakeToken(ctx, s.seller, "tienda", []string{"yarn:write"}, 30)
		wantProblem(t, "above the role", err, "scopes", "value-choice")
		_, _, err = s.h.MakeToken(ctx, s.seller, "tienda", nil, 30)
		wantProblem(t, "for nothing", err, "scopes", "field-empty")
		_, _, err = s.h.MakeToken(ctx, s.seller, "tienda", []string{"yarn:read"}, TokenDays+1)
		wantProblem(t, "too long", err, "days", "out-of-range")

		kept, key, err := s.h.MakeToken(ctx, s.seller, "tienda", []string{"yarn:read", "customers:write"}, 30)
		must(0, err)
		p, shown, err := s.h.WhoBy(ctx, key)
		must(0, err)
		if shown.ID != kept.ID || p.Account != s.seller.Account || p.Workshop != s.seller.Workshop {
			t.Fatalf("got %+v %+v", p, shown)
		}
		must(s.h.SaveCustomer(ctx, p, Kept[Customer]{Value: Customer{Name: "Posada"}}))
		if l := must(s.h.Customers(ctx, p, Page{})); l.Count != 1 {
			t.Error("who may write may not read")
		}
		_, _, err = s.h.Lots(ctx, p, Page{})
		must(0, err)
		_, err = s.h.SaveLot(ctx, p, Kept[Lot]{Value: Lot{Label: "x", Colour: "#000000"}})
		wantCode(t, "beyond the role", err, Denied)
		_, _, err = s.h.Orders(ctx, p, Page{})
		wantCode(t, "beyond the scope", err, Denied)
		for call := range needs {
			if ScopeFor(call) == "" && p.May(call) {
				t.Errorf("a token may do %s, which is in no area", call)
			}
		}
		_, _, err = s.h.MakeToken(ctx, p, "otra", []string{"yarn:read"}, 30)
		wantCode(t, "a token by a token", err, Denied)

		// Its owner becomes a member: what she may not do any more, it may not.
		was := s.seller
		was.Role, was.Member = MemberRole, s.weaver.Member
		must(0, s.h.db.PutAccount(ctx, store.Account{ID: was.Account, Workshop: was.Workshop, Login: "s", Name: was.Name, Role: string(was.Role), Member: was.Member}))
		p, _, _ = s.h.WhoBy(ctx, key)
		_, err = s.h.SaveCustomer(ctx, p, Kept[Customer]{Value: Customer{Name: "Otra"}})
		wantCode(t, "a role that shrank", err, Denied)

		if all := must(s.h.Tokens(ctx, s.seller)); len(all) != 1 || !all[0].Used.Equal(s.h.Now()) {
			t.Errorf("tokens: %+v", all)
		}
		s.clock.pass(31 * 24 * time.Hour)
		if p, _, err = s.h.WhoBy(ctx, key); err != nil || p.Workshop != "" {
			t.Errorf("ended: %+v %v", p, err)
		}
		s.account(&s.other)
		wantCode(t, "dropping another's", s.h.DropToken(ctx, s.other, kept.ID), NotFound)
		must(0, s.h.DropToken(ctx, s.seller, kept.ID))
	})
}

// Areas name calls that there are, each once.
func TestAreas_areCalls(t *testing.T) {
	seen := map[string]bool{}
	for _, a := range Areas {
		for _, call := range slices.Concat(a.Reads, a.Writes) {
			if _, known := needs[call]; !known || seen[call] {
				t.Errorf("%s: %s is no call, or stands there twice", a.Name, call)
			}
			seen[call] = true
		}
	}
	for _, never := range []string{"SaveAccount", "MakeToken", "SaveHook", "SaveSettings", "ErasePerson", "MakeCard", "PersonData"} {
		if seen[never] {
			t.Errorf("a token may do %s", never)
		}
	}
}

// The keys of tokens are nowhere in the database.
func TestTokens_keptAsHash(t *testing.T) {
	s := newShop(t, file(t))
	s.account(&s.head)
	_, key, err := s.h.MakeToken(ctx, s.head, "cuentas", []string{"orders:read"}, 1)
	must(0, err)
	if strings.Contains(s.written(), key) || strings.Contains(s.written(), strings.TrimPrefix(key, tokenPrefix)) {
		t.Error("the key is kept")
	}
}
