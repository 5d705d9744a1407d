package workshop

import (
	"slices"
	"strings"
)

// Area is a part of the workshop that a token may be for, with the calls that look
// and those that change something. What stands in none no token may do.
type Area struct {
	Name          string
	Reads, Writes []string
}

// Areas is every area.
var Areas = []Area{
	{"workshop", []string{"Settings", "Today", "Search", "History"}, nil},
	{"customers", []string{"Customers", "Customer"}, []string{"SaveCustomer"}},
	{"orders", []string{"Orders", "Order", "Promises", "PromiseFor"}, []string{"SaveOrder", "ConfirmOrder", "CancelOrder", "ChooseLots", "WishDye", "GivePromise"}},
	{"classes", []string{"Classes"}, []string{"SaveClass", "Learners"}},
	{"cloths", []string{"Cloths", "Cloth", "Versions"}, []string{"SaveCloth"}},
	{"figures", []string{"Figures", "Figure"}, nil},
	{"yarn", []string{"Lots", "Lot"}, []string{"SaveLot", "Receive", "Discard", "ColourLot"}},
	{"supplies", []string{"Supplies", "Supply"}, []string{"Buy"}},
	{"dye", []string{"Dyeings", "Dyeing", "ProposeDye"}, []string{"AcceptDye", "BeginDyeing", "DoneStage", "OutOfBath", "ColourDyeing", "JudgeDyeing", "UndoDyeing"}},
	{"members", []string{"Members", "Member"}, []string{"SaveMember"}},
	{"work", []string{"Jobs", "Job"}, []string{"GiveOut", "Laid", "Tell", "Worked", "TakeBack", "Paid", "UndoJob"}},
	{"pieces", []string{"Pieces", "Piece"}, []string{"Finish", "Deliver", "Return", "Repair", "UndoPiece"}},
	{"sales", []string{"Quotes", "Quote", "Papers", "Paper"}, []string{"MakeQuote", "AcceptQuote", "UndoAccept", "MakeInvoice", "TakePayment", "UndoPaper"}},
	{"prices", []string{"Wares"}, []string{"SaveWare", "DropWare"}},
	{"pay", []string{"Pay", "Statement", "Payout"}, []string{"TellWork", "GiveAdvance", "PayOut", "UndoPayOut"}},
	{"time", []string{"Timetable", "Turns"}, []string{"AcceptTimetable"}},
	{"hooks", []string{"Hooks", "Hook"}, nil},
}

// scopeFor is what a token needs for a call: its area, and whether to read it or to
// write in it too.
var scopeFor = func() map[string]string {
	out := map[string]string{}
	for _, a := range Areas {
		for _, c := range a.Reads {
			out[c] = a.Name + ":read"
		}
		for _, c := range a.Writes {
			out[c] = a.Name + ":write"
		}
	}
	return out
}()

// ScopeFor is the scope that a token needs for a call; empty if none will do.
func ScopeFor(call string) string { return scopeFor[call] }

// InScope says whether the token she is here by, if any, is for a call. Whoever may
// write in an area may read it.
func (p Person) InScope(call string) bool {
	if p.Scopes == "" {
		return true
	}
	need := scopeFor[call]
	if need == "" {
		return false
	}
	have := strings.Fields(p.Scopes)
	return slices.Contains(have, need) || slices.Contains(have, strings.TrimSuffix(need, ":read")+":write")
}

// MayGive is the scopes a person can give to a token: no more than she may herself.
func (p Person) MayGive() (out []string) {
	for _, a := range Areas {
		if slices.ContainsFunc(a.Reads, p.May) {
			out = append(out, a.Name+":read")
		}
		if slices.ContainsFunc(a.Writes, p.May) {
			out = append(out, a.Name+":write")
		}
	}
	return out
}
