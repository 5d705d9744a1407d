package workshop

import (
	"context"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// Saying is what a member says to the workshop from where she weaves. It waits
// until someone there has heard it.
type Saying struct {
	Member string
	Name   string // hers
	Kind   TellingKind
	At     time.Time
	Shown  string       `json:",omitempty"` // by the telephone's clock, which may be wrong
	Job    string       `json:",omitempty"` // yarn: for which warp
	Lot    string       `json:",omitempty"`
	Label  string       `json:",omitempty"` // of the lot
	Grams  measure.Gram `json:",omitempty"`
	Until  string       `json:",omitempty"` // date
	Heard  string       `json:",omitempty"` // date; By: who heard it
	By     string       `json:",omitempty"`
}

func (s Saying) state() string {
	if s.Heard != "" {
		return "heard"
	}
	return "open:" + s.Member
}

// Place is how far a member is in laying a warp: the stripes she has ticked. It is
// kept for her and proves nothing.
type Place struct {
	Job     string
	Stripes int
	At      time.Time
}

// sayingErrands adds what members said and nobody has heard yet.
func sayingErrands(tx *store.Tx, out *Day) error {
	all, err := unheard(tx, "")
	for _, k := range all {
		name := k.Value.Name
		if k.Value.Kind == AskYarn {
			name += " · " + k.Value.Label
		}
		out.Errands = append(out.Errands, Errand{Kind: "errand-says-" + string(k.Value.Kind), Where: "member", ID: k.Value.Member, Name: name, Due: k.Value.Until})
	}
	return err
}

// unheard is what nobody has heard yet: of one member, or of all.
func unheard(tx *store.Tx, member string) (out []Kept[Saying], _ error) {
	var states []string
	if member != "" {
		states = append(states, "open:"+member)
	} else {
		ms, err := members.list(tx, Page{}, false)
		if err != nil {
			return nil, err
		}
		for _, m := range ms.Items {
			states = append(states, "open:"+m.ID)
		}
	}
	if len(states) == 0 {
		return nil, nil
	}
	l, err := spoken.list(tx, Page{State: strings.Join(states, ",")}, false)
	return l.Items, err
}

// Sayings gives what a member said that nobody has heard yet.
func (h *House) Sayings(ctx context.Context, p Person, member string) (out []Kept[Saying], err error) {
	err = h.view(ctx, p, "Sayings", func(tx *store.Tx) error {
		out, err = unheard(tx, member)
		return err
	})
	return out, err
}

// HeardSaying says that the workshop has heard it and seen to it.
func (h *House) HeardSaying(ctx context.Context, p Person, id string, revision int64) (out Kept[Saying], _ error) {
	err := h.update(ctx, p, "HeardSaying", func(tx *store.Tx) error {
		k, err := spoken.get(tx, id)
		if err != nil && !missing(err) {
			return err
		}
		if err != nil || k.Value.Heard != "" {
			return wrong("", "saying-heard", nil)
		}
		k.Revision, k.Value.Heard, k.Value.By = revision, h.today(), p.Name
		out, err = spoken.put(tx, k)
		return err
	})
	return out, err
}

// say keeps what a member says. What she said of the same before and nobody has
// heard is no longer so.
func (h *House) say(tx *store.Tx, p Person, s Saying) error {
	m, err := members.get(tx, p.Member)
	if err != nil {
		return err
	}
	s.Member, s.Name, s.At = m.ID, m.Value.Name, h.now()
	before, err := unheard(tx, m.ID)
	if err != nil {
		return err
	}
	for _, k := range before {
		if !s.replaces(k.Value) {
			continue
		}
		k.Value.Heard = h.today()
		if _, err = spoken.put(tx, k); err != nil {
			return err
		}
	}
	_, err = spoken.put(tx, Kept[Saying]{Value: s})
	return err
}

func (s Saying) replaces(o Saying) bool {
	if s.Kind == AskYarn || o.Kind == AskYarn {
		return s.Kind == o.Kind && s.Job == o.Job && s.Lot == o.Lot
	}
	return s.Kind == o.Kind || s.Kind != MoreWork && o.Kind != MoreWork
}

// ask asks for yarn of a lot that belongs to a warp in her hands.
func (h *House) ask(tx *store.Tx, p Person, t Telling) error {
	if !(t.Grams >= 1 && t.Grams <= maxGrams) {
		return wrong("grams", "mass-out-of-range", check.Args{"value": t.Grams})
	}
	j, err := h.job(tx, p, t.Job)
	if err != nil {
		return err
	}
	lot, ok := j.Lots[t.Lot]
	if !ok {
		return wrong("lot", "field-empty", nil)
	}
	return h.say(tx, p, Saying{Kind: AskYarn, Shown: t.Shown, Job: t.Job, Lot: t.Lot, Label: lot.Value.Label, Grams: t.Grams})
}

// ill writes down that she does not work from today on, well that she does again.
func (h *House) ill(ctx context.Context, tx *store.Tx, p Person, t Telling) error {
	m, err := members.get(tx, p.Member)
	if err != nil {
		return err
	}
	today, hours := h.today(), m.Value.Time
	hours.Absences = slices.Clone(hours.Absences)
	if t.Kind == Ill {
		hours.Absences = append(hours.Absences, Absence{From: today, To: t.Until, Why: t.Why})
	} else {
		hours.Absences = slices.DeleteFunc(hours.Absences, func(a Absence) bool { return a.Why == t.Why && a.From >= today })
		for i, a := range hours.Absences {
			if a.Why == t.Why && (a.To == "" || a.To >= today) {
				hours.Absences[i].To = dayAfter(today, -1)
			}
		}
	}
	if _, err = h.SaveHours(ctx, p, m.ID, m.Revision, hours); err != nil {
		return err
	}
	return h.say(tx, p, Saying{Kind: t.Kind, Shown: t.Shown, Until: t.Until})
}
