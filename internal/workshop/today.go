package workshop

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"urdir/internal/store"
)

// Errand is one thing that needs hands.
type Errand struct {
	Kind  string // key of the words: errand-give-out, errand-finish ...
	Where string // kind of page: order, job, piece, lot
	ID    string
	Name  string // what it is about
	Due   string // date, if there is one
	Late  bool
	Share float64 // woven so far
}

// Day is the first page.
type Day struct {
	Errands []Errand
	Orders  int // open
	Weaving int // warps at members'
	Pieces  int // finished, to be delivered
	Clock   []ClockLine
}

// Today gathers what needs hands: for a member her own warps, for the others
// what waits in the workshop.
func (h *House) Today(ctx context.Context, p Person) (out Day, _ error) {
	err := h.view(ctx, p, "Today", func(tx *store.Tx) error {
		if onlyOwn(p) {
			return h.ownDay(tx, p, &out)
		}
		mark, err := tx.Mark()
		if err != nil {
			return err
		}
		out, err = h.days.of(p.Workshop+" "+mark+h.today(), daysMost, func() (day Day, err error) {
			err = h.shopDay(tx, &day)
			return day, err
		})
		return err
	})
	return out.of(p), err
}

// theirs is the call whose right errands of a kind of page ask for, where not everybody
// of the workshop has it.
var theirs = map[string]string{"hook": "Hooks", payErrand: "Pay"}

// of is the day without what is not for a person.
func (d Day) of(p Person) Day {
	d.Errands = slices.DeleteFunc(slices.Clone(d.Errands), func(e Errand) bool { return theirs[e.Where] != "" && !p.May(theirs[e.Where]) })
	return d
}

// daysMost bounds how many first pages are kept: each gathers every open order, and is
// asked for far more often than anything changes.
const daysMost = 1000

func (h *House) ownDay(tx *store.Tx, p Person, out *Day) error {
	mine, err := jobs.list(tx, Page{State: heldStates(p.Member)}, false)
	if err != nil || p.Member == "" {
		return err
	}
	for _, j := range mine.Items {
		o, err := orders.get(tx, j.Value.Order)
		if err != nil {
			return err
		}
		out.Errands = append(out.Errands, h.errand("errand-"+string(j.Value.State()), j, o.Value.Due))
	}
	out.Weaving = len(mine.Items)
	return h.remind(tx, p.Member, out)
}

func (h *House) errand(kind string, j Kept[Job], due string) Errand {
	name := "#" + strings.TrimLeft(numberSort(j.Value.Number), "0") + " " + j.Value.Cloth + " · " + j.Value.Warp
	return Errand{Kind: kind, Where: "job", ID: j.ID, Name: name, Due: due, Late: h.late(due), Share: j.Value.Share()}
}

// late says whether a date is past.
func (h *House) late(due string) bool { return due != "" && due < h.today() }

func (h *House) shopDay(tx *store.Tx, out *Day) error {
	if err := sayingErrands(tx, out); err != nil {
		return err
	}
	open, err := orders.list(tx, Page{State: "draft,open"}, false)
	if err != nil {
		return err
	}
	for _, k := range open.Items {
		var o OrderView
		if o, err = h.order(tx, k.ID); err != nil {
			return err
		}
		out.Orders++
		h.orderErrands(o, out)
		h.promiseErrand(o, out)
		if err = acceptedErrands(tx, o.Kept, out); err != nil {
			return err
		}
	}
	low, err := lots.list(tx, Page{}, false)
	if err != nil {
		return err
	}
	for _, l := range low.Items {
		if l.Value.Reorder <= 0 {
			continue
		}
		var s LotStock
		if s, err = stockOf(tx, l); err != nil {
			return err
		}
		if s.Low() {
			out.Errands = append(out.Errands, Errand{Kind: "errand-reorder", Where: "lot", ID: l.ID, Name: l.Value.Label})
		}
	}
	if err = h.dyeErrands(tx, out); err != nil {
		return err
	}
	if err = h.payErrands(tx, out); err != nil {
		return err
	}
	if err = hookErrands(tx, out); err != nil {
		return err
	}
	err = h.remind(tx, "", out)
	slices.SortStableFunc(out.Errands, byDue)
	return err
}

// byDue orders errands: what is due first comes first, what has no date last.
func byDue(a, b Errand) int {
	if (a.Due == "") != (b.Due == "") {
		return cmp.Compare(b.Due, a.Due)
	}
	return cmp.Compare(a.Due, b.Due)
}

// dyeErrands says what the dye house waits for.
func (h *House) dyeErrands(tx *store.Tx, out *Day) error {
	open, err := dyeings.list(tx, Page{State: strings.Join([]string{string(DyePlanned), string(DyeBegun), string(DyeOut)}, ",")}, false)
	if err != nil {
		return err
	}
	for _, d := range open.Items {
		e := Errand{Where: "dyeing", ID: d.ID, Name: d.Value.Label}
		switch n := d.Value.StagesDone(); {
		case d.Value.State() == DyeOut:
			e.Kind = "errand-judge"
		case n == len(d.Value.Days):
			e.Kind, e.Due = "errand-dry", d.Value.Dry
		default:
			e.Kind, e.Due = "errand-bath", d.Value.Days[n].Day
		}
		if e.Due <= h.today() {
			e.Late = h.late(e.Due)
			out.Errands = append(out.Errands, e)
		}
	}
	groups, err := h.supplyGroups(tx)
	for _, g := range groups {
		if g.Low() {
			out.Errands = append(out.Errands, Errand{Kind: "errand-get", Where: "supplies", ID: g.What, Name: g.What})
		}
		for _, s := range g.Bags {
			if s.Expired && s.OnShelf > 0 {
				out.Errands = append(out.Errands, Errand{Kind: "errand-expired", Where: "supply", ID: s.ID, Name: g.What})
			}
		}
	}
	return err
}

// orderErrands says what one order waits for: at most one errand of each kind.
func (h *House) orderErrands(o OrderView, out *Day) {
	due, name := o.Value.Due, "#"+strings.TrimLeft(numberSort(o.Value.Number), "0")+" "+o.Customer.Value.Name
	add := func(kind, where, id, what string) {
		out.Errands = append(out.Errands, Errand{Kind: kind, Where: where, ID: id, Name: what, Due: due, Late: h.late(due)})
	}
	if k, ok := o.Thread.Now(); ok {
		switch k.Stage {
		case "order", "cloth":
			add("errand-confirm", "order", o.ID, name)
		case "yarn":
			add("errand-yarn", "order", o.ID, name)
		case "dye":
			add("errand-dye", "order", o.ID, name)
		}
	}
	for _, j := range o.Jobs {
		switch s := j.Value.State(); {
		case s == Waiting && o.Thread.done("yarn") && o.Thread.done("dye"):
			out.Errands = append(out.Errands, h.errand("errand-give-out", j, due))
		case s == Given || s == OnFrame || s == OnLoom:
			out.Weaving++
			if j.Value.Share() >= 0.98 {
				out.Errands = append(out.Errands, h.errand("errand-take-back", j, due))
			}
		case s == Off && !j.Value.Paid() && j.Value.Pay().Minor > 0:
			out.Errands = append(out.Errands, h.errand("errand-pay", j, due))
		}
	}
	for _, x := range o.Pieces {
		what := "#" + strings.TrimLeft(numberSort(x.Value.Number), "0") + " " + x.Value.Cloth
		switch x.Value.State() {
		case Unfinished:
			ready := true
			for _, j := range jobsOf(x.Value, o.Jobs) {
				ready = ready && j.Value.State() == Off
			}
			if ready {
				add("errand-finish", "piece", x.ID, what)
			}
		case Finished:
			out.Pieces++
			add("errand-deliver", "piece", x.ID, what)
		case Returned:
			add("errand-repair", "piece", x.ID, what)
		}
	}
}

func (t Thread) done(s Stage) bool {
	for _, k := range t {
		if k.Stage == s {
			return k.State == KnotDone
		}
	}
	return false
}

// Found is something a search found.
type Found struct {
	Kind, ID, Name, More string
}

// Search looks for words in everything that has a page.
func (h *House) Search(ctx context.Context, p Person, words string) (out []Found, err error) {
	err = h.view(ctx, p, "Search", func(tx *store.Tx) error {
		page := Page{Find: words, Limit: 10}
		if strings.TrimSpace(words) == "" {
			return nil
		}
		if err = find(tx, orders, page, &out, func(v Order) (string, string) { return "#" + strings.TrimLeft(numberSort(v.Number), "0"), v.Due }); err != nil {
			return err
		}
		if err = find(tx, customers, page, &out, func(v Customer) (string, string) { return v.Name, v.Contact }); err != nil {
			return err
		}
		if err = find(tx, cloths, page, &out, func(v Cloth) (string, string) { return v.Name, v.Kind }); err != nil {
			return err
		}
		if err = find(tx, figures, page, &out, func(v Figure) (string, string) { return v.Name, v.Origin }); err != nil {
			return err
		}
		if err = find(tx, lots, page, &out, func(v Lot) (string, string) { return v.Label, v.Count }); err != nil {
			return err
		}
		if err = find(tx, ownRecipes, page, &out, func(v RecipeText) (string, string) { return v.Name, "" }); err != nil {
			return err
		}
		if err = find(tx, dyeings, page, &out, func(v Dyeing) (string, string) { return v.Label, v.Dry }); err != nil {
			return err
		}
		if err = find(tx, supplies, page, &out, func(v Supply) (string, string) { return v.What, v.Name }); err != nil {
			return err
		}
		if err = find(tx, members, page, &out, func(v Member) (string, string) { return v.Name, v.Reach }); err != nil {
			return err
		}
		if err = find(tx, jobs, page, &out, func(v Job) (string, string) { return v.Cloth + " · " + v.Warp, "" }); err != nil {
			return err
		}
		return find(tx, pieces, page, &out, func(v Piece) (string, string) { return "#" + strings.TrimLeft(numberSort(v.Number), "0"), v.Cloth })
	})
	return out, err
}

func find[T any](tx *store.Tx, k kind[T], page Page, out *[]Found, say func(T) (name, more string)) error {
	l, err := k.list(tx, page, false)
	for _, v := range l.Items {
		name, more := say(v.Value)
		*out = append(*out, Found{k.name, v.ID, name, more})
	}
	return err
}

// Deed is one line of the history, with who did it.
type Deed struct {
	At       time.Time
	Who      string
	Act      string
	Kind, ID string
	Revision int64
}

// History gives what was done, to a thing or in the whole workshop, the last
// first.
func (h *House) History(ctx context.Context, p Person, kind, id string, limit int) (out []Deed, _ error) {
	err := h.view(ctx, p, "History", func(tx *store.Tx) error {
		if !plain(kind, id) {
			return nil
		}
		entries, err := tx.History(kind, id, limit)
		for _, e := range entries {
			out = append(out, Deed{e.At, e.Who, e.Act, e.Kind, e.ID, e.Revision})
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	accounts, err := h.db.Accounts(ctx, p.Workshop)
	for i := range out {
		for _, a := range accounts {
			if a.ID == out[i].Who {
				out[i].Who = a.Name
			}
		}
	}
	return out, fromStore(err)
}

// restorable are the kinds whose last change can be taken back whole: nothing
// else follows from them.
var restorable = map[string]string{
	"customer": "SaveCustomer", "cloth": "SaveCloth", "figure": "SaveFigure", "lot": "SaveLot", "member": "SaveMember", "settings": "SaveSettings",
	"recipe": "SaveRecipe", "supply": "SaveSupply",
}

// Restore puts a thing back as it was before its last change, as a new change.
func (h *House) Restore(ctx context.Context, p Person, kind, id string, revision int64) error {
	if err := allowed(p, "Restore"); err != nil {
		return err
	}
	call, ok := restorable[kind]
	if !ok {
		return wrong("", "nothing-to-undo", nil)
	}
	if err := allowed(p, call); err != nil {
		return err
	}
	if !plain(id) {
		return wrong("", "nothing-to-undo", nil)
	}
	err := h.update(ctx, p, "Restore", func(tx *store.Tx) error {
		entries, err := tx.History(kind, id, 1)
		if err != nil {
			return err
		}
		if len(entries) == 0 || entries[0].Before == "" {
			return wrong("", "nothing-to-undo", nil)
		}
		switch kind {
		case "customer":
			return restore(tx, customers, id, revision, entries[0].Before)
		case "cloth":
			was, err := cloths.read(store.Record{ID: id, Revision: revision, Body: entries[0].Before})
			if err == nil {
				_, err = h.keepCloth(tx, p, was, Version{}) // an old file comes back as a new version
			}
			return err
		case "figure":
			return restore(tx, figures, id, revision, entries[0].Before)
		case "lot":
			return restore(tx, lots, id, revision, entries[0].Before)
		case "recipe":
			return restore(tx, ownRecipes, id, revision, entries[0].Before)
		case "supply":
			return restore(tx, supplies, id, revision, entries[0].Before)
		case "member":
			return restore(tx, members, id, revision, entries[0].Before)
		}
		return restore(tx, settings, id, revision, entries[0].Before)
	})
	if err != nil || kind != settings.name {
		return err
	}
	s, err := h.Settings(ctx, p)
	if err != nil {
		return err
	}
	return fromStore(h.db.RenameWorkshop(ctx, store.Workshop{ID: p.Workshop, Name: s.Value.Name}))
}

func restore[T any](tx *store.Tx, k kind[T], id string, revision int64, body string) error {
	v, err := k.read(store.Record{ID: id, Revision: revision, Body: body})
	if err != nil {
		return err
	}
	_, err = k.put(tx, v)
	return err
}
