package workshop

import (
	"math"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/internal/tables"
	"urdir/measure"
	"urdir/price"
)

// The columns of each kind of table. The first heading of each is the one problems
// name; exports of lists may be headed by any of them.
var (
	yarnColumns = []importColumn{
		{"id", []string{"id"}},
		{"label", []string{"label", "nombre", "name", "hilo", "yarn", "lote", "tanda", "lot", "etiqueta"}},
		{"letter", []string{"letter", "letra"}},
		{"colour", []string{"colour", "color"}},
		{"fibre", []string{"fibre", "fibra", "fiber", "material"}},
		{"count", []string{"count", "titulo", "numero"}},
		{"grams", []string{"g", "gramos", "grams", "peso", "weight", "peso (g)", "weight (g)", "en el estante (g)", "on the shelf (g)"}},
		{"kilos", []string{"kg", "kilos", "peso (kg)", "weight (kg)"}},
		{"skein", []string{"skein", "madeja", "madeja (g)", "skein (g)"}},
		{"dyed", []string{"dyed", "teñido", "fecha de teñido"}},
		{"reorder", []string{"reorder", "reponer", "minimo", "minimum", "reponer (g)", "reorder (g)"}},
		{"note", []string{"note", "nota", "notas", "notes", "observaciones"}},
	}
	customerColumns = []importColumn{
		{"id", []string{"id"}},
		{"name", []string{"name", "nombre", "cliente", "clienta", "customer"}},
		{"contact", []string{"contact", "contacto", "telefono", "phone", "correo", "email", "e-mail", "direccion", "address"}},
		{"language", []string{"language", "idioma", "lengua"}},
		{"note", []string{"note", "nota", "notas", "notes", "observaciones"}},
	}
	priceColumns = []importColumn{
		{"id", []string{"id"}},
		{"name", []string{"name", "nombre", "articulo", "producto", "product", "item"}},
		{"list", []string{"list", "lista", "para", "for"}},
		{"price", []string{"price", "precio"}},
		{"currency", []string{"currency", "moneda"}},
		{"from", []string{"from", "desde", "vigente desde", "valid from"}},
		{"note", []string{"note", "nota", "notas", "notes", "observaciones"}},
	}
)

// unseenColour is the colour of a lot whose table gives none: undyed wool's, until
// someone looks.
const unseenColour = "#cfc6b4"

// there is what the workshop has of a kind, by id; the table can find it by its
// names.
func there[T any](tx *store.Tx, t *importTable, k kind[T], name func(T) string) (map[string]Kept[T], error) {
	all, err := k.list(tx, Page{}, false)
	byID := map[string]Kept[T]{}
	for _, v := range all.Items {
		byID[v.ID] = v
		key := Fold(name(v.Value))
		t.ids[key] = append(t.ids[key], v.ID)
	}
	return byID, err
}

// rowOf gives what a row names, and a new one if it names none that is there.
func rowOf[T any](t *importTable, byID map[string]Kept[T], r tables.Row, out *ImportRow) Kept[T] {
	v := byID[t.find(r, out.Name, func(id string) bool { _, ok := byID[id]; return ok }, out)]
	if v.ID == "" {
		out.State = RowNew
	}
	return v
}

// keeps is the change that keeps a value.
func keeps[T any](k kind[T], v Kept[T]) change {
	return func(tx *store.Tx) error {
		_, err := k.put(tx, v)
		return err
	}
}

// lotName names a lot on a shelf.
func lotName(l Lot) string { return strings.TrimSpace(l.Label + " " + l.Letter) }

func yarnRows(h *House, tx *store.Tx, t *importTable) (rowReader, error) {
	byID, err := there(tx, t, lots, lotName)
	if err != nil {
		return nil, err
	}
	on, err := onShelf(tx)
	return func(r tables.Row, out *ImportRow) (change, error) {
		out.Name = strings.TrimSpace(t.cell(r, "label").Text + " " + t.cell(r, "letter").Text)
		v := rowOf(t, byID, r, out)
		l := &v.Value
		was := l.Colour
		for _, f := range []struct {
			column string
			field  *string
		}{{"label", &l.Label}, {"letter", &l.Letter}, {"colour", &l.Colour}, {"fibre", &l.Fibre}, {"count", &l.Count}, {"note", &l.Note}} {
			t.set(r, f.column, f.field, out)
		}
		t.date(r, "dyed", &l.Dyed, out)
		t.grams(r, "skein", &l.Skein, out)
		t.grams(r, "reorder", &l.Reorder, out)
		if l.Colour == "" {
			l.Colour = unseenColour
			out.Problems.Look("colour", "import-colour", nil)
		}
		if l.Colour != was {
			l.Dye.Measured, l.Dye.How = nil, "" // chosen anew, it is by eye
		}
		out.Problems = append(out.Problems, l.check()...)
		return t.shelfOf(h, r, v, on[v.ID], out), nil
	}, err
}

// grams takes a cell's mass over what was there.
func (t *importTable) grams(r tables.Row, column string, field *measure.Gram, out *ImportRow) {
	if n, ok := t.number(r, column, out); ok && measure.Gram(n) != *field {
		out.Changes = append(out.Changes, FieldChange{column, plainNumber(float64(*field)), plainNumber(n)})
		*field = measure.Gram(n)
	}
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// shelfOf reads what the shelf is to hold of a lot, and gives the change of the
// row.
func (t *importTable) shelfOf(h *House, r tables.Row, v Kept[Lot], have int64, out *ImportRow) change {
	described := len(out.Changes) > 0 || v.ID == ""
	g, ok := t.number(r, "grams", out)
	if kg, is := t.number(r, "kilos", out); is && !ok {
		g, ok = kg*1000, true
	}
	want := have
	if ok {
		weight(&out.Problems, "grams", measure.Gram(g))
		want = milligrams(measure.Gram(g))
	}
	if want != have {
		out.Changes = append(out.Changes, FieldChange{"grams", plainNumber(float64(grams(have))), plainNumber(g)})
	}
	return func(tx *store.Tx) (err error) {
		if described {
			if v, err = lots.put(tx, v); err != nil {
				return err
			}
		}
		return h.countShelf(tx, v, want-have)
	}
}

// countShelf books what a count of the shelf found more or less of a lot.
func (h *House) countShelf(tx *store.Tx, l Kept[Lot], by int64) error {
	switch {
	case by > 0:
		return tx.Move(l.ID, by, Outside, Shelf)
	case by < 0:
		if err := tx.Move(l.ID, -by, Shelf, Waste); err != nil {
			return err
		}
		return h.use(tx, "lot:"+l.ID, l.Value.Label, []Moved{{l.ID, -by, Shelf, Waste}}, nil)
	}
	return nil
}

// languages are the words by which a table names the languages there are.
var languages = map[string]string{"es": "es", "español": "es", "espanol": "es", "castellano": "es", "spanish": "es", "en": "en", "ingles": "en", "english": "en"}

func customerRows(_ *House, tx *store.Tx, t *importTable) (rowReader, error) {
	byID, err := there(tx, t, customers, func(c Customer) string { return c.Name })
	return func(r tables.Row, out *ImportRow) (change, error) {
		out.Name = t.cell(r, "name").Text
		v := rowOf(t, byID, r, out)
		c := &v.Value
		t.set(r, "name", &c.Name, out)
		t.set(r, "contact", &c.Contact, out)
		t.set(r, "note", &c.Note, out)
		if told := t.cell(r, "language").Text; told != "" {
			now := languages[Fold(told)]
			if now == "" {
				choice(&out.Problems, "language", told, "es", "en")
			} else if now != c.Language {
				out.Changes = append(out.Changes, FieldChange{"language", c.Language, now})
				c.Language = now
			}
		}
		out.Problems = append(out.Problems, c.check()...)
		return keeps(customers, v), nil
	}, err
}

// wareName names a ware of a list.
func wareName(w Ware) string { return strings.TrimSpace(w.Name + " " + w.List) }

func priceRows(_ *House, tx *store.Tx, t *importTable) (rowReader, error) {
	byID, err := there(tx, t, wares, wareName)
	if err != nil {
		return nil, err
	}
	set, err := readSettings(tx)
	return func(r tables.Row, out *ImportRow) (change, error) {
		out.Name = strings.TrimSpace(t.cell(r, "name").Text + " " + t.cell(r, "list").Text)
		v := rowOf(t, byID, r, out)
		w := &v.Value
		was := w.Price
		if v.ID == "" {
			w.Price.Currency = set.Value.Currency
		}
		t.set(r, "name", &w.Name, out)
		t.set(r, "list", &w.List, out)
		t.set(r, "note", &w.Note, out)
		t.date(r, "from", &w.From, out)
		if code := strings.ToUpper(t.cell(r, "currency").Text); code != "" {
			w.Price.Currency = code
		}
		t.amount(r, &w.Price, out)
		if w.Price != was {
			out.Changes = append(out.Changes, FieldChange{"price", strings.TrimSpace(was.Plain() + " " + was.Currency), w.Price.Plain() + " " + w.Price.Currency})
		}
		out.Problems = append(out.Problems, w.check()...)
		return keeps(wares, v), nil
	}, err
}

// amount reads a price; what is none, or has more decimals than its currency, is a
// problem.
func (t *importTable) amount(r tables.Row, m *Money, out *ImportRow) {
	c := t.cell(r, "price")
	c.Text = strings.Trim(c.Text, "$€£ \u00a0")
	digits, known := price.Digits(m.Currency)
	if c.Text == "" || !known {
		return // told with the ware
	}
	v, code := t.numbers.Parse(c)
	if code != "" {
		tables.Wrong(&out.Problems, "price", code, c)
		return
	}
	minor := v * math.Pow10(digits)
	switch {
	case math.Abs(minor) > maxMinor:
		out.Problems.Wrong("price", "amount-out-of-range", nil)
	case math.Abs(minor-math.Round(minor)) > 1e-6:
		out.Problems.Wrong("price", "import-decimals", check.Args{"text": c.Text, "digits": digits})
	default:
		m.Minor = int64(math.Round(minor))
	}
}
