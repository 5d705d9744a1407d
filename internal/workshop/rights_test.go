package workshop

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"urdir/measure"
)

// who may make each call: head, dyer, seller, bookkeeper, member, by their
// initials. Taken from what each does in a workshop, not from rights.go.
var who = map[string]string{
	"Settings": "hdsbm", "SaveSettings": "h", "Accounts": "h", "SaveAccount": "h", "MakeCard": "h", "DropCards": "h",
	"ChangePassphrase": "hdsbm", "SetLang": "hdsbm", "CheckBooks": "h", "ServerKeeper": "h",
	"PreviewImport": "hdsb", "ApplyImport": "hdsb", "Wares": "hdsb", "SaveWare": "hsb", "DropWare": "hsb",
	"PersonData": "h", "ErasePerson": "h", "Invite": "h",
	"Partners": "h", "InvitePartner": "h", "AnswerPartner": "h", "AgreePartner": "h", "EndPartner": "h",
	"Federation": "hdsb", "YarnOffers": "hdsb", "OfferYarn": "hd", "WithdrawYarn": "hd",
	"Today": "hdsbm", "Search": "hdsb", "History": "hdsb", "Restore": "hdsb",
	"Customers": "hdsb", "Customer": "hdsb", "SaveCustomer": "hsb",
	"Orders": "hdsb", "Order": "hdsb", "SaveOrder": "hsb", "ConfirmOrder": "hsb", "CancelOrder": "hsb", "ChooseLots": "hd",
	"Cloths": "hdsb", "Cloth": "hdsb", "Versions": "hdsb", "SaveCloth": "hds",
	"Drafts": "hdsb", "SaveDraft": "hds", "DropDraft": "hds", "SaveDesign": "hds", "BackTo": "hds", "SaveBranch": "hds", "Compare": "hdsb", "LotInCloth": "hdsb", "LotInOrder": "hdsb",
	"Figures": "hdsb", "Figure": "hdsb", "SaveFigure": "hds",
	"Lots": "hdsb", "Lot": "hdsb", "SaveLot": "hd", "Receive": "hd", "Discard": "hd",
	"Recipes": "hdsb", "Recipe": "hdsb", "SaveRecipe": "hd", "DropRecipe": "hd",
	"Supplies": "hdsb", "Supply": "hdsb", "SaveSupply": "hd", "Buy": "hd", "UndoBuy": "hd", "Spoil": "hd",
	"WishDye": "hd", "ProposeDye": "hdsb", "AcceptDye": "hd", "DyeCalendar": "hdsb",
	"Dyeings": "hdsb", "Dyeing": "hdsb", "BeginDyeing": "hd", "DoneStage": "hd", "OutOfBath": "hd",
	"ColourDyeing": "hd", "JudgeDyeing": "hd", "UndoDyeing": "hd",
	"ColourLot": "hd", "ColourShelf": "hdsb", "Story": "hdsb", "Picture": "hdsb", "LayPhoto": "hd", "LaidPhoto": "hd",
	"Shade": "hdsb", "SaveSample": "hd", "DropSample": "hd", "SaveTrial": "hd", "Reached": "hdsb",
	"Members": "hdsb", "Member": "hdsb", "SaveMember": "h",
	"Jobs": "hdsbm", "Job": "hdsbm", "GiveOut": "hd", "Laid": "hdm", "Tell": "hdm", "TakeBack": "hd", "Paid": "hb",
	"Pay": "hbm", "Statement": "hbm", "Payout": "hbm", "TellWork": "hb", "CountWork": "hb", "DropWork": "hb", "GiveAdvance": "hb", "UndoAdvance": "hb",
	"PayOut": "hb", "UndoPayOut": "hb", "PayOver": "hbm", "RaisePay": "hb", "Entry": "hb",
	"SaveMoneyHouse": "hb", "CostOrder": "hsb", "Quotes": "hsb", "Quote": "hsb", "TryQuote": "hsb", "MakeQuote": "hsb", "AcceptQuote": "hsb", "UndoAccept": "hsb", "PriceList": "hsb",
	"OrderMoney": "hsb", "TakeDeposit": "hsb", "OrderLinks": "hsb", "MakeLink": "hsb", "DropLink": "hsb",
	"Cards": "hdsb", "PieceCard": "hdsb", "ShowCards": "hs", "HideCard": "hs", "OfferPiece": "hs", "PhotoPiece": "hs",
	"Papers": "hsb", "Paper": "hsb", "MakeInvoice": "hb", "TakePayment": "hb", "UndoPaper": "hb",
	"Journal": "hb", "Books": "hb", "Profit": "hb", "PostEntry": "hb", "ReverseEntry": "hb", "ClosePeriod": "hb", "AuditBooks": "hb", "ExportBooks": "hb",
	// Undoing asks for the right of what is undone; see TestUndo_rights.
	"UndoJob": "hdsbm", "UndoPiece": "hs",
	"Hours": "hdsbm", "SaveHours": "hdsbm", "Turns": "hdsbm", "Feeds": "hdsbm", "MakeFeed": "hdsbm", "DropFeed": "hdsbm", "GiveFeed": "h", "EndFeed": "h",
	"MemberMonth": "hdsbm", "Timetable": "hdsb", "AcceptTimetable": "hd", "TryMove": "hd", "MoveStep": "hd", "Retellings": "hdsb", "UndoTelling": "hd",
	"WhyDate": "hdsb", "Earlier": "hdsb",
	"PromiseFor": "hdsb", "EarlierFor": "hdsb", "GivePromise": "hsb", "Promises": "hdsb", "LateOrders": "hdsb", "PromisesKept": "h", "SaveClass": "hsb", "Learners": "hsb", "Class": "hdsb", "Classes": "hdsb",
	"Tokens": "hdsbm", "MakeToken": "hdsbm", "DropToken": "hdsbm",
	"Hooks": "h", "Hook": "h", "SaveHook": "h", "DropHook": "h", "TurnSecret": "h", "TryHook": "h", "WakeHook": "h",
	"Hand": "hdsbm", "TellHand": "hdsbm", "Sayings": "hdsb", "HeardSaying": "hd",
	"Worked": "hdm", "AnswerRecord": "hdm", "Questions": "hdsbm",
	"Pieces": "hdsb", "Piece": "hdsb", "Finish": "hs", "Deliver": "hs", "Return": "hs", "Repair": "hs",
}

// calls is every method of House that takes a Person.
func calls() (names []string) {
	of := reflect.TypeFor[*House]()
	for method := range of.Methods() {
		for in := range method.Type.Ins() {
			if in == reflect.TypeFor[Person]() {
				names = append(names, method.Name)
			}
		}
	}
	return names
}

// call makes a call for a person, with arguments that fill gives, and gives what
// it gave.
func (s *shop) call(name string, p Person, fill func(reflect.Type) reflect.Value) (out []any, err error) {
	m := reflect.ValueOf(s.h).MethodByName(name)
	var args []reflect.Value
	for in := range m.Type().Ins() {
		switch {
		case in == reflect.TypeFor[Person]():
			args = append(args, reflect.ValueOf(p))
		case in == reflect.TypeFor[context.Context]():
			args = append(args, reflect.ValueOf(ctx))
		default:
			args = append(args, fill(in))
		}
	}
	for _, v := range m.Call(args) {
		out = append(out, v.Interface())
	}
	err, _ = out[len(out)-1].(error)
	return out[:len(out)-1], err
}

func TestRights_everyCallHasOne(t *testing.T) {
	got, table, mine := calls(), slices.Sorted(maps.Keys(needs)), slices.Sorted(maps.Keys(who))
	if len(got) < 40 {
		t.Fatalf("found only %d calls: the search is broken", len(got))
	}
	if !slices.Equal(got, table) {
		t.Errorf("calls that take a Person:\n%v\nrights.go knows:\n%v", got, table)
	}
	if !slices.Equal(got, mine) {
		t.Errorf("calls that take a Person:\n%v\nthis test knows:\n%v", got, mine)
	}
}

func TestRights_deniedExactlyWithout(t *testing.T) {
	s := newShop(t, file(t))
	people := []struct {
		initial string
		p       Person
	}{
		{"h", s.head}, {"d", s.dyer}, {"s", s.seller}, {"b", s.keeper}, {"m", s.weaver},
		{"-", Person{}}, {"-", Person{Role: Head}}, {"-", Person{Workshop: s.head.Workshop}}, {"-", Person{Workshop: s.head.Workshop, Role: "owner"}},
	}
	before, acts := s.everything(), s.acts()
	var table strings.Builder
	for _, name := range calls() {
		fmt.Fprintf(&table, "\n%-17s", name)
		for _, c := range people {
			_, err := s.call(name, c.p, reflect.Zero)
			got, want := CodeOf(err) != Denied, strings.Contains(who[name], c.initial)
			if got != want {
				t.Errorf("%s by %q (%s): allowed %v (%v), want %v", name, c.p.Role, c.p.Name, got, err, want)
			}
			if c.p.May(name) != got {
				t.Errorf("%s by %q: May says %v, the call %v", name, c.p.Role, c.p.May(name), got)
			}
			fmt.Fprintf(&table, " %-10s", map[bool]string{true: string(c.p.Role), false: "·"}[got])
		}
	}
	t.Log(table.String())
	if s.acts() != acts || s.everything() != before {
		t.Error("calls without arguments changed something")
	}
}

// A member's pages show her own work and nobody else's.
func TestRights_memberSeesHerOwn(t *testing.T) {
	s := newShop(t, file(t))
	o := s.running("blanket", 1)
	hers, others := s.give(o.Jobs[0], s.weaver), s.give(o.Jobs[1], s.other)
	waiting := o.Jobs[2]

	for _, page := range []Page{{}, {State: "waiting"}, {State: "given:" + s.other.Member}, {Parent: o.ID}, {Find: "cobija"}, {Limit: 1}} {
		got, names, err := s.h.Jobs(ctx, s.weaver, page)
		if err != nil || len(got.Items) != 1 || got.Items[0].ID != hers.ID {
			t.Errorf("jobs of page %+v: got %v, %v, want her own", page, got.Items, err)
		}
		if len(names) != 1 || names[s.weaver.Member] != "Benita" {
			t.Errorf("names: got %v, want her own", names)
		}
	}
	if v, err := s.h.Job(ctx, s.weaver, hers.ID); err != nil || v.ID != hers.ID {
		t.Errorf("her own warp: %v", err)
	}
	if day, err := s.h.Today(ctx, s.weaver); err != nil || len(day.Errands) != 1 || day.Errands[0].ID != hers.ID || day.Weaving != 1 {
		t.Errorf("her day: got %+v, %v", day, err)
	}
	before := s.everything()
	for _, j := range []Kept[Job]{others, waiting} {
		v, err := s.h.Job(ctx, s.weaver, j.ID)
		wantCode(t, "another's warp", err, NotFound)
		if !reflect.ValueOf(v).IsZero() {
			t.Errorf("another's warp: got %+v beside the error", v)
		}
		_, err = s.h.Laid(ctx, s.weaver, j.ID, j.Revision)
		wantCode(t, "lay another's", err, NotFound)
		_, err = s.h.Tell(ctx, s.weaver, j.ID, j.Revision, 5, 0)
		wantCode(t, "tell of another's", err, NotFound)
		_, err = s.h.UndoJob(ctx, s.weaver, j.ID, j.Revision)
		wantCode(t, "undo another's", err, NotFound)
	}
	if s.everything() != before {
		t.Error("something of another's changed")
	}
	nobody := s.weaver
	nobody.Member = ""
	if got, _, err := s.h.Jobs(ctx, nobody, Page{}); err != nil || len(got.Items) != 0 {
		t.Errorf("an account without a member sees %v, %v", got.Items, err)
	}
	_, err := s.h.Job(ctx, nobody, waiting.ID)
	wantCode(t, "a warp nobody has, by an account without a member", err, NotFound)
}

// Whatever one workshop asks for with the other's names, it sees and changes
// nothing of it.
func TestRights_workshopsAreApart(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		theirs := newShop(t, address)
		ours := addShop(t, theirs.h, theirs.clock)
		o := theirs.running("scarf", 2)
		job := theirs.woven(o.Jobs[0], theirs.weaver)
		piece := must(theirs.h.Finish(ctx, theirs.seller, o.Pieces[0].ID, o.Pieces[0].Revision, 20, 150, 20, "marca"))
		figure := must(theirs.h.SaveFigure(ctx, theirs.seller, Kept[Figure]{Value: Figure{Name: "Pez", Sale: "no", Text: fish}}))
		ids := map[string]string{
			"customer": o.Value.Customer, "order": o.ID, "line": o.Lines[0].ID, "cloth": o.Lines[0].Line.Cloth, "lot": o.Lines[0].Wants[0].Lot.ID,
			"job": job.ID, "piece": piece.ID, "figure": figure.ID, "member": theirs.weaver.Member,
		}
		before, acts := theirs.everything(), theirs.acts()
		for kind, id := range ids {
			fill := func(in reflect.Type) reflect.Value {
				v := reflect.New(in).Elem()
				switch {
				case in.Kind() == reflect.String:
					v.SetString(id)
				case in.Kind() == reflect.Int64:
					v.SetInt(1)
				case in.Kind() == reflect.Float64:
					v.SetFloat(1)
				case in.Kind() == reflect.Struct && v.FieldByName("ID").IsValid():
					v.FieldByName("ID").SetString(id)
				}
				return v
			}
			for _, name := range calls() {
				if name == "SetLang" || name == "ChangePassphrase" || name == "Search" || name == "ServerKeeper" {
					continue // of the person herself; the words of a search are answered in it; of the server
				}
				out, err := ours.call(name, ours.head, fill)
				if err != nil && CodeOf(err) != NotFound && CodeOf(err) != Invalid {
					t.Errorf("%s with another workshop's %s: %v", name, kind, err)
				}
				if said := string(must(json.Marshal(out))); strings.Contains(said, "Juncos") || strings.Contains(said, "Lote ") || strings.Contains(said, "marca") {
					t.Errorf("%s with another workshop's %s shows %.300s", name, kind, said)
				}
			}
		}
		h, us := theirs.h, ours.head
		for name, read := range map[string]func() error{
			"Customer": func() error { _, _, err := h.Customer(ctx, us, ids["customer"]); return err },
			"Order":    func() error { _, err := h.Order(ctx, us, o.ID); return err },
			"Cloth":    func() error { _, _, err := h.Cloth(ctx, us, ids["cloth"], 0); return err },
			"Figure":   func() error { _, err := h.Figure(ctx, us, figure.ID); return err },
			"Lot":      func() error { _, _, err := h.Lot(ctx, us, ids["lot"]); return err },
			"Member":   func() error { _, _, err := h.Member(ctx, us, ids["member"]); return err },
			"Job":      func() error { _, err := h.Job(ctx, us, job.ID); return err },
			"Piece":    func() error { _, err := h.Piece(ctx, us, piece.ID); return err },
			"Receive":  func() error { return h.Receive(ctx, us, ids["lot"], 5, Money{}, "") },
			"Confirm":  func() error { _, err := h.ConfirmOrder(ctx, us, o.ID, o.Revision); return err },
			"Cancel":   func() error { _, err := h.CancelOrder(ctx, us, o.ID, o.Revision); return err },
			"Laid":     func() error { _, err := h.Laid(ctx, us, job.ID, job.Revision); return err },
			"Deliver":  func() error { _, err := h.Deliver(ctx, us, piece.ID, piece.Revision); return err },
			"SaveOrder": func() error {
				_, err := h.SaveOrder(ctx, us, o.Kept)
				return err
			},
			"SaveFigure": func() error { _, err := h.SaveFigure(ctx, us, figure); return err },
			"SaveCloth":  func() error { _, err := h.SaveCloth(ctx, us, o.Lines[0].Cloth); return err },
			"SaveLot":    func() error { _, err := h.SaveLot(ctx, us, o.Lines[0].Wants[0].Lot.Kept); return err },
			"SaveCustomer": func() error {
				_, err := h.SaveCustomer(ctx, us, o.Customer)
				return err
			},
			"SaveMember": func() error {
				_, err := h.SaveMember(ctx, us, Kept[Member]{ID: ids["member"], Revision: 1, Value: Member{Name: "Otra"}})
				return err
			},
		} {
			wantCode(t, name+" with another workshop's id", read(), NotFound)
		}
		mine := ours.running("scarf", 1)
		_, err := h.GiveOut(ctx, us, mine.Jobs[0].ID, mine.Jobs[0].Revision, ids["member"], nil, Money{})
		wantProblem(t, "giving out to another workshop's member", err, "member", "field-empty")
		_, err = h.GiveOut(ctx, us, mine.Jobs[0].ID, mine.Jobs[0].Revision, ours.weaver.Member, map[string]measure.Gram{ids["lot"]: 1}, Money{})
		wantCode(t, "giving out another workshop's yarn", err, NotFound)
		if theirs.everything() != before || theirs.acts() != acts {
			t.Error("something of the other workshop changed")
		}
		theirs.balanced()
		ours.balanced()
	})
}

// fish is a figure of its own.
const fish = `kind: brocade
cell: {ends: 6, picks: 2}
float: 30 mm
colours: {x: indigo}
chart: |
  .xx.x
  xxxxx
  .xx.x
`
