package workshop

import (
	"fmt"
	"slices"

	"urdir/internal/store"
)

// About is what lines of an entry are told by.
type About struct {
	Tag   string // season, product, channel, member, order, lot or dyeing
	Name  string
	Where string // kind of its page; empty: none
	ID    string
}

// aboutTags is the tags that are told, in this order.
var aboutTags = slices.Concat(ProfitTags, []string{"member", "order", lotTag, "dyeing"})

// about finds what lines are about, each once. What is no longer kept is left out.
func about(tx *store.Tx, lines []store.PostingLine) (out []About, _ error) {
	seen := map[About]bool{}
	for _, tag := range aboutTags {
		for _, l := range lines {
			a := About{Tag: tag, Name: l.Tags[tag]}
			if a.Name == "" || seen[a] {
				continue
			}
			seen[a] = true
			known, err := a.find(tx)
			if err != nil {
				return nil, err
			}
			if known {
				out = append(out, a)
			}
		}
	}
	return out, nil
}

// find gives what is kept under a name that is a record's its own name and page.
func (a *About) find(tx *store.Tx) (known bool, err error) {
	id := a.Name
	switch a.Tag {
	case "member":
		var k Kept[Member]
		k, err = members.get(tx, id)
		a.Name, a.Where = k.Value.Name, payErrand
	case "order":
		var k Kept[Order]
		k, err = orders.get(tx, id)
		a.Name, a.Where = "#"+fmt.Sprint(k.Value.Number), "order"
	case "dyeing":
		var k Kept[Dyeing]
		k, err = dyeings.get(tx, id)
		a.Name, a.Where = k.Value.Label, "dyeing"
	case lotTag:
		return a.findMaterial(tx, id)
	default:
		return true, nil
	}
	a.ID = id
	return err == nil, nilIfMissing(err)
}

// findMaterial looks for a lot, or a supply: both are booked alike.
func (a *About) findMaterial(tx *store.Tx, id string) (known bool, err error) {
	a.ID = id
	l, err := lots.get(tx, id)
	if err == nil {
		a.Name, a.Where = l.Value.Label, "lot"
		return true, nil
	}
	if !missing(err) {
		return false, err
	}
	s, err := supplies.get(tx, id)
	a.Name, a.Where = s.Value.Name, "supply"
	if a.Name == "" {
		a.Name = s.Value.What
	}
	return err == nil, nilIfMissing(err)
}
