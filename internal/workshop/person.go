package workshop

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// Kinds of people whose data can be handed over or erased.
const (
	CustomerPerson = "customer"
	MemberPerson   = "member"
)

// PersonFile is everything that is kept of someone, to be handed over to her.
type PersonFile struct {
	Kind, ID string
	Made     time.Time
	Sections []PersonSection
}

// PersonSection is one part of it.
type PersonSection struct {
	Key  string          // of its words: "person-" + Key
	Of   string          // name of the record, if it is of one
	Body json.RawMessage // as it is kept
}

// JSON is the file for other programs.
func (f PersonFile) JSON() ([]byte, error) { return json.MarshalIndent(f, "", " ") }

// Text is the file to be read; say gives the words of a section.
func (f PersonFile) Text(say func(key string) string) string {
	var b strings.Builder
	last := ""
	for _, s := range f.Sections {
		if s.Key != last {
			fmt.Fprintf(&b, "\n%s\n", say("person-"+s.Key))
			last = s.Key
		}
		var v any
		if json.Unmarshal(s.Body, &v) == nil {
			b.WriteString("\n")
			flatten(&b, "", v)
		}
	}
	return strings.TrimPrefix(b.String(), "\n")
}

// flatten writes a value line by line: "Lines.1.Quantity: 3".
func flatten(b *strings.Builder, path string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for _, k := range slices.Sorted(maps.Keys(v)) {
			flatten(b, strings.TrimPrefix(path+"."+k, "."), v[k])
		}
	case []any:
		for i, e := range v {
			flatten(b, fmt.Sprintf("%s.%d", path, i+1), e)
		}
	case nil:
	default:
		if s := fmt.Sprint(v); s != "" && s != "0" && s != "false" {
			fmt.Fprintf(b, "  %s: %s\n", path, s)
		}
	}
}

// PersonData gathers everything that is kept of a customer or a member: her
// record and what it was before, her account, and every record that names her.
// Who else told something in them is left out.
func (h *House) PersonData(ctx context.Context, p Person, kind, id string) (out PersonFile, _ error) {
	if err := allowed(p, "PersonData"); err != nil {
		return out, err
	}
	her, err := h.accountsOf(ctx, p, kind, id)
	if err != nil {
		return out, err
	}
	out = PersonFile{Kind: kind, ID: id, Made: h.now()}
	err = h.view(ctx, p, "PersonData", func(tx *store.Tx) error {
		r, failed := tx.Get(kind, id)
		if failed != nil {
			return failed
		}
		out.Sections = append(out.Sections, PersonSection{"record", "", json.RawMessage(r.Body)})
		if err = out.accounts(her); err != nil {
			return err
		}
		past, failed := tx.History(kind, id, 0)
		if failed != nil {
			return failed
		}
		for _, e := range past {
			if e.Before != "" {
				out.Sections = append(out.Sections, PersonSection{"before", e.At.Format(time.RFC3339), json.RawMessage(e.Before)})
			}
		}
		return out.mentions(tx, her)
	})
	return out, err
}

// accounts adds who she signs in as, without what opens it.
func (f *PersonFile) accounts(her []store.Account) error {
	for _, a := range her {
		body, err := json.Marshal(Account{a.ID, a.Login, a.Name, Role(a.Role), a.Member, a.Lang, a.Closed, a.Secret == ""})
		if err != nil {
			return err
		}
		f.Sections = append(f.Sections, PersonSection{"account", a.Login, body})
	}
	return nil
}

// mentions adds every record that names her.
func (f *PersonFile) mentions(tx *store.Tx, her []store.Account) error {
	t := traces{kind: f.Kind, id: f.ID}
	own := map[string]bool{}
	for _, a := range her {
		t.accounts, own[a.Name] = append(t.accounts, a.ID), true
	}
	all, _, err := tx.List(store.Query{})
	for _, r := range all {
		if (r.Kind != f.Kind || r.ID != f.ID) && t.mentioned(r.Body) {
			f.Sections = append(f.Sections, PersonSection{"named", r.Kind + " " + r.ID, withoutOthers(r.Body, own)})
		}
	}
	return err
}

// withoutOthers leaves out who else told what a record holds.
func withoutOthers(body string, own map[string]bool) json.RawMessage {
	field := ""
	return json.RawMessage(jsonText.ReplaceAllStringFunc(body, func(s string) string {
		if strings.HasSuffix(s, ":") {
			field = strings.Trim(s, "\": \t\n")
			return s
		}
		var text string
		if field == "By" && json.Unmarshal([]byte(s), &text) == nil && !own[text] {
			return `""`
		}
		return s
	}))
}

// accountsOf checks the kind of a person and gives a member's accounts.
func (h *House) accountsOf(ctx context.Context, p Person, kind, id string) (her []store.Account, _ error) {
	var ps check.Problems
	if choice(&ps, "kind", kind, CustomerPerson, MemberPerson); ps.Failed() {
		return nil, invalid(ps)
	}
	if !plain(id) || id == "" {
		return nil, &Error{Code: NotFound}
	}
	all, err := h.db.Accounts(ctx, p.Workshop)
	for _, a := range all {
		if kind == MemberPerson && a.Member == id {
			her = append(her, a)
		}
	}
	return her, fromStore(err)
}
