package workshop

import (
	"context"
	"fmt"
	"strings"
	"unicode/utf8"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/store"
)

// Design is a cloth file as it comes off the designer's table.
type Design struct {
	Cloth   string
	Version int // the newest one its maker knows
	Text    string
	Note    string // what she says of it, if anything
}

// SaveDesign keeps a design as a new version and takes its maker's draft away. If
// there is a newer version than she knows, it is a Conflict with the cloth as it
// is now; she may then say that she knows it. Name and note of the cloth stay.
func (h *House) SaveDesign(ctx context.Context, p Person, d Design) (out Kept[Cloth], _ error) {
	if err := allowed(p, "SaveDesign"); err != nil {
		return out, err
	}
	err := h.update(ctx, p, "SaveDesign", func(tx *store.Tx) error {
		now, err := cloths.get(tx, d.Cloth)
		if err != nil {
			return err
		}
		if err = d.check(); err != nil {
			return err
		}
		if d.Version != now.Value.Version {
			return &Error{Code: Conflict, Now: now}
		}
		now.Value.Text = d.Text
		if out, err = h.keepCloth(tx, p, now, Version{Note: d.Note}); err != nil {
			return err
		}
		return dropDraft(tx, p, d.Cloth)
	})
	return out, err
}

// check mends line ends and says what is wrong with a design.
func (d *Design) check() error {
	var ps check.Problems
	trim(&d.Note)
	d.Text = strings.ReplaceAll(d.Text, "\r\n", "\n")
	short(&ps, "said", d.Note, maxSaid)
	short(&ps, "text", d.Text, clothfile.MaxBytes)
	if strings.TrimSpace(d.Text) == "" {
		ps.Wrong("text", "file-empty", nil)
	}
	return invalid(ps)
}

// maxSaid bounds what is said of a version.
const maxSaid = 300

// BackTo makes a version equal to version n the newest one; what came between
// stays.
func (h *House) BackTo(ctx context.Context, p Person, cloth string, n int, revision int64) (out Kept[Cloth], _ error) {
	err := h.update(ctx, p, "BackTo", func(tx *store.Tx) error {
		c, err := cloths.get(tx, cloth)
		if err != nil {
			return err
		}
		v, err := versions.get(tx, versionID(cloth, n))
		if err != nil {
			return err
		}
		if v.Value.Text == c.Value.Text {
			return wrong("", "version-same", check.Args{"version": n})
		}
		if c.Revision != revision {
			return &Error{Code: Conflict, Now: c}
		}
		c.Value.Text = v.Value.Text
		out, err = h.keepCloth(tx, p, c, Version{Back: n})
		return err
	})
	return out, err
}

// SaveBranch makes a new cloth of version n of another, or of a text that began
// from it: a draft, which its maker then has no longer. The cloth it comes from
// stays as it is.
func (h *House) SaveBranch(ctx context.Context, p Person, cloth string, n int, text string) (out Kept[Cloth], _ error) {
	err := h.update(ctx, p, "SaveBranch", func(tx *store.Tx) error {
		c, err := cloths.get(tx, cloth)
		if err != nil {
			return err
		}
		v, err := versions.get(tx, versionID(cloth, n))
		if err != nil {
			return err
		}
		branch := c.Value
		branch.Text, branch.From = v.Value.Text, Origin{Cloth: cloth, Name: c.Value.Name, Version: n}
		if text != "" {
			d := Design{Text: text}
			if err = d.check(); err != nil {
				return err
			}
			branch.Text = d.Text
			if err = dropDraft(tx, p, cloth); err != nil {
				return err
			}
		}
		if branch.Name, err = freeName(tx, c.Value.Name); err != nil {
			return err
		}
		out, err = h.keepCloth(tx, p, Kept[Cloth]{Value: branch}, Version{})
		return err
	})
	return out, err
}

// freeName is a cloth's name with the first number from 2 on that no cloth of
// this name has: "Sendero (2)".
func freeName(tx *store.Tx, name string) (string, error) {
	if base, n, ok := strings.Cut(name, " ("); ok && strings.Trim(n, "0123456789") == ")" && base != "" {
		name = base
	}
	all, err := cloths.list(tx, Page{}, false)
	if err != nil {
		return "", err
	}
	taken := map[string]bool{}
	for _, c := range all.Items {
		taken[c.Value.Name] = true
	}
	for i := 2; ; i++ {
		end := fmt.Sprintf(" (%d)", i)
		if free := firstRunes(name, maxName-len(end)) + end; !taken[free] {
			return free, nil
		}
	}
}

// firstRunes cuts a text to so many letters at most.
func firstRunes(s string, most int) string {
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most])
}
