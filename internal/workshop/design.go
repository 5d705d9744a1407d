package workshop

import (
	"context"
	"strings"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/store"
	"urdir/plan"
)

// Cloths lists cloths by name.
func (h *House) Cloths(ctx context.Context, p Person, page Page) (Listed[Cloth], error) {
	return many(ctx, h, p, "Cloths", cloths, page, false)
}

// OwnDraft in the place of a version is what the person who asks has not saved
// yet.
const OwnDraft = -1

// Cloth gives a cloth, and its plan for one piece: of its current version if
// version is 0, or of the person's own draft.
func (h *House) Cloth(ctx context.Context, p Person, id string, version int) (out Kept[Cloth], made Planned, err error) {
	err = h.view(ctx, p, "Cloth", func(tx *store.Tx) error {
		if out, err = cloths.get(tx, id); err != nil {
			return err
		}
		var side Side
		side, err = h.side(tx, p, out, version)
		made = side.Made
		return err
	})
	return out, made, err
}

// Versions lists the versions of a cloth, the last first.
func (h *House) Versions(ctx context.Context, p Person, cloth string) (out []Kept[Version], _ error) {
	err := h.view(ctx, p, "Versions", func(tx *store.Tx) error {
		if _, err := cloths.get(tx, cloth); err != nil {
			return err
		}
		l, err := versions.list(tx, Page{Parent: cloth}, true)
		out = l.Items
		return err
	})
	return out, err
}

// SaveCloth keeps a cloth. A changed file is a new version; the earlier ones
// stay. A file with errors is kept as well, so that nothing typed is lost; it
// cannot go on an order.
func (h *House) SaveCloth(ctx context.Context, p Person, v Kept[Cloth]) (out Kept[Cloth], err error) {
	if err = allowed(p, "SaveCloth"); err != nil {
		return v, err
	}
	c := &v.Value
	trim(&c.Name, &c.Note)
	c.Text = strings.ReplaceAll(c.Text, "\r\n", "\n")
	var ps check.Problems
	named(&ps, "name", c.Name)
	short(&ps, "kind", c.Kind, maxName)
	short(&ps, "note", c.Note, 2000)
	short(&ps, "text", c.Text, clothfile.MaxBytes)
	if strings.TrimSpace(c.Text) == "" {
		ps.Wrong("text", "file-empty", nil)
	}
	if err = invalid(ps); err != nil {
		return v, err
	}
	err = h.update(ctx, p, "SaveCloth", func(tx *store.Tx) error {
		out, err = h.keepCloth(tx, p, v, Version{})
		return err
	})
	if err != nil {
		return v, err
	}
	return out, nil
}

// keepCloth keeps a cloth, and its file as a new version if it changed, with what
// is said of it besides.
func (h *House) keepCloth(tx *store.Tx, p Person, v Kept[Cloth], said Version) (Kept[Cloth], error) {
	c, fresh := &v.Value, true
	c.Version = 0
	if v.ID != "" {
		now, err := cloths.get(tx, v.ID)
		if err != nil {
			return v, err
		}
		c.Version, c.From, fresh = now.Value.Version, now.Value.From, now.Value.Text != c.Text
	}
	if fresh {
		c.Version++
	}
	out, err := cloths.put(tx, v)
	if err != nil || !fresh {
		return out, err
	}
	said.Cloth, said.N, said.Text, said.By, said.At = out.ID, c.Version, c.Text, p.Name, h.today()
	_, err = versions.put(tx, Kept[Version]{ID: versionID(out.ID, c.Version), Value: said})
	return out, err
}

// Figures lists figures by name.
func (h *House) Figures(ctx context.Context, p Person, page Page) (Listed[Figure], error) {
	return many(ctx, h, p, "Figures", figures, page, false)
}

// Figure gives a figure.
func (h *House) Figure(ctx context.Context, p Person, id string) (Kept[Figure], error) {
	return one(ctx, h, p, "Figure", figures, id)
}

// SaveFigure keeps a figure. A figure that belongs to someone is for sale only
// with a word on when and by whom it was agreed.
func (h *House) SaveFigure(ctx context.Context, p Person, v Kept[Figure]) (Kept[Figure], error) {
	if err := allowed(p, "SaveFigure"); err != nil {
		return v, err
	}
	f := &v.Value
	trim(&f.Name, &f.Origin, &f.Meaning, &f.Owner, &f.Ask, &f.Granted)
	f.Text = strings.ReplaceAll(f.Text, "\r\n", "\n")
	var ps check.Problems
	named(&ps, "name", f.Name)
	for _, x := range [][2]string{{"origin", f.Origin}, {"meaning", f.Meaning}, {"owner", f.Owner}, {"ask", f.Ask}, {"granted", f.Granted}} {
		short(&ps, x[0], x[1], 2000)
	}
	choice(&ps, "sale", f.Sale, "yes", "no", "ask")
	if f.Sale == "yes" && f.Owner != "" && f.Granted == "" {
		ps.Wrong("granted", "figure-not-granted", check.Args{"owner": f.Owner})
	}
	_, more := f.Chart()
	for _, x := range more {
		x.Path = "text"
		ps = append(ps, x)
	}
	if err := invalid(ps); err != nil {
		return v, err
	}
	return save(ctx, h, p, "SaveFigure", figures, v)
}

// Chart reads a figure's text: its fields as they stand in a cloth file, with
// any yarns its colours name.
func (f Figure) Chart() (plan.Cloth, check.Problems) {
	return clothfile.ReadFigure(figureKey(f.Name), f.Text)
}

// Key is the figure's name as it stands in a cloth file.
func (f Figure) Key() string { return figureKey(f.Name) }

// figureKey is a figure's name as it stands in a cloth file.
func figureKey(name string) string {
	var b strings.Builder
	for _, r := range Fold(name) {
		switch {
		case r >= 'a' && r <= 'z' || r == 'ñ' || b.Len() > 0 && r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0:
			b.WriteByte('-')
		}
	}
	if s := strings.Trim(b.String(), "-"); s != "" {
		return s
	}
	return "x"
}
