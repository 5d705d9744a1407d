package web

import (
	"io"
	"net/url"
	"path"
	"strings"

	"urdir/internal/tables"
	"urdir/internal/workshop"
	"urdir/measure"
)

// listOut is a list that goes out as a table: the call it asks for, its columns
// (words "list-COLUMN"), and its rows.
type listOut struct {
	name, call string
	columns    []string
	rows       func(v *visit, p workshop.Page) ([][]any, error)
}

// lists is every list that goes out. Those of yarn, customers and prices come in
// again with the same columns.
var lists = []listOut{
	{"orders", "Orders", []string{"number", "customer", "taken", "due", "state", "note"}, orderRows},
	{"customers", "Customers", []string{"id", "name", "contact", "language", "note"}, customerRows},
	{"cloths", "Cloths", []string{"name", "kind", "version", "note"}, clothRows},
	{"figures", "Figures", []string{"name", "origin", "meaning", "owner", "sale"}, figureRows},
	{"yarn", "Lots", []string{"id", "label", "letter", "colour", "fibre", "count", "grams", "skein", "dyed", "reorder", "note"}, lotRows},
	{"dyeings", "Dyeings", []string{"number", "label", "recipe", "grams", "state"}, dyeingRows},
	{"supplies", "Supplies", []string{"what", "name", "grams", "gathered", "by", "day", "expires", "note"}, supplyRows},
	{"members", "Members", []string{"name", "skills", "hours", "reach", "away", "note"}, memberRows},
	{"work", "Jobs", []string{"order", "cloth", "warp", "laying", "member", "state"}, jobRows},
	{"pieces", "Pieces", []string{"number", "order", "cloth", "state"}, pieceRows},
	{"prices", "Wares", []string{"id", "name", "list", "price", "currency", "from", "note"}, wareRows},
}

// listRoutes is the address of every list, in either form.
func listRoutes() (out []route) {
	for _, l := range lists {
		for _, form := range []string{".csv", ".xlsx"} {
			out = append(out, route{"GET /lists/" + l.name + form, l.call, l.send})
		}
	}
	return out
}

// ListFile is the address of the list a page shows, narrowed as the page is.
func (v *visit) ListFile(name, form string) string {
	q := url.Values{}
	for _, k := range []string{"q", "state"} {
		if s := v.r.URL.Query().Get(k); s != "" {
			q.Set(k, s)
		}
	}
	to := "/lists/" + name + "." + form
	if len(q) > 0 {
		to += "?" + q.Encode()
	}
	return to
}

// send sends the whole list, and not only the part a page shows.
func (l listOut) send(v *visit) error {
	page := v.listing()
	page.Limit, page.After = 0, ""
	rows, err := l.rows(v, page)
	if err != nil {
		return err
	}
	t := tables.List{Name: v.T("list-of-" + l.name), Rows: rows}
	for _, c := range l.columns {
		t.Header = append(t.Header, v.T("list-"+c))
	}
	name := fileName(t.Name)
	if path.Ext(v.r.URL.Path) == ".xlsx" {
		var b strings.Builder
		if err = tables.WriteXLSX(&b, t); err != nil {
			return err
		}
		v.attach("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", name+".xlsx")
		_, _ = io.WriteString(v.w, b.String()) // the browser went away
		return nil
	}
	var b strings.Builder
	if err = tables.WriteCSV(&b, t, v.Words.Fixed(1.5, 1) == "1,5"); err != nil {
		return err
	}
	v.attach("text/csv; charset=utf-8", name+".csv")
	_, _ = io.WriteString(v.w, b.String()) // the browser went away
	return nil
}

// rowsOf makes rows of what a list holds.
func rowsOf[T any](l workshop.Listed[T], err error, row func(workshop.Kept[T]) []any) ([][]any, error) {
	out := make([][]any, 0, len(l.Items))
	for _, k := range l.Items {
		out = append(out, row(k))
	}
	return out, err
}

// mass is grams as a number; nothing for none.
func mass(g measure.Gram) any {
	if g == 0 {
		return nil
	}
	return float64(g)
}

// ticked is a word for what is so.
func (v *visit) ticked(b bool) string {
	if b {
		return v.T("list-yes")
	}
	return ""
}

func orderRows(v *visit, p workshop.Page) ([][]any, error) {
	l, names, err := v.s.house.Orders(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Order]) []any {
		o := k.Value
		state := "draft"
		switch {
		case o.Cancelled != "":
			state = "cancelled"
		case o.Done != "":
			state = "done"
		case o.Confirmed != "":
			state = "open"
		}
		return []any{o.Number, names[o.Customer], o.Taken, o.Due, v.T("orders-" + state), o.Wishes}
	})
}

func customerRows(v *visit, p workshop.Page) ([][]any, error) {
	l, err := v.s.house.Customers(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Customer]) []any {
		return []any{k.ID, k.Value.Name, k.Value.Contact, k.Value.Language, k.Value.Note}
	})
}

func clothRows(v *visit, p workshop.Page) ([][]any, error) {
	l, err := v.s.house.Cloths(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Cloth]) []any {
		kind := ""
		if k.Value.Kind != "" {
			kind = v.T("kind-" + k.Value.Kind)
		}
		return []any{k.Value.Name, kind, k.Value.Version, k.Value.Note}
	})
}

func figureRows(v *visit, p workshop.Page) ([][]any, error) {
	l, err := v.s.house.Figures(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Figure]) []any {
		return []any{k.Value.Name, k.Value.Origin, k.Value.Meaning, k.Value.Owner, v.T("sale-" + k.Value.Sale)}
	})
}

func lotRows(v *visit, p workshop.Page) ([][]any, error) {
	l, stock, err := v.s.house.Lots(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Lot]) []any {
		x := k.Value
		return []any{k.ID, x.Label, x.Letter, x.Colour, x.Fibre, x.Count, float64(stock[k.ID].OnShelf), mass(x.Skein), x.Dyed, mass(x.Reorder), x.Note}
	})
}

func dyeingRows(v *visit, p workshop.Page) ([][]any, error) {
	l, err := v.s.house.Dyeings(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Dyeing]) []any {
		return []any{k.Value.Number, k.Value.Label, k.Value.Recipe, mass(k.Value.Mass), v.T("dyelot-" + string(k.Value.State()))}
	})
}

func supplyRows(v *visit, _ workshop.Page) (out [][]any, _ error) {
	groups, err := v.s.house.Supplies(v.r.Context(), v.Person)
	if err != nil {
		return nil, err
	}
	all, err := v.stuffs()
	for _, g := range groups {
		is := stuffOf(all, g.What)
		for _, b := range g.Bags {
			x := b.Value
			out = append(out, []any{is.Name, x.Name, float64(b.OnShelf), x.Gathered, x.By, x.Day, x.Expires, x.Note})
		}
	}
	return out, err
}

func memberRows(v *visit, p workshop.Page) ([][]any, error) {
	l, err := v.s.house.Members(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Member]) []any {
		var skills []string
		for _, s := range k.Value.Skills {
			skills = append(skills, v.T("skill-"+s))
		}
		return []any{k.Value.Name, strings.Join(skills, ", "), k.Value.Hours, k.Value.Reach, v.ticked(k.Value.Away), k.Value.Note}
	})
}

func jobRows(v *visit, p workshop.Page) ([][]any, error) {
	l, names, err := v.s.house.Jobs(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Job]) []any {
		j := k.Value
		return []any{j.Number, j.Cloth, j.Warp, j.Laying, names[j.Member], v.T("job-" + string(j.State()))}
	})
}

func pieceRows(v *visit, p workshop.Page) ([][]any, error) {
	l, err := v.s.house.Pieces(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Piece]) []any {
		x := k.Value
		return []any{x.Number, x.OrderNumber, x.Cloth, v.T("piece-" + string(x.State()))}
	})
}

func wareRows(v *visit, p workshop.Page) ([][]any, error) {
	l, err := v.s.house.Wares(v.r.Context(), v.Person, p)
	return rowsOf(l, err, func(k workshop.Kept[workshop.Ware]) []any {
		w := k.Value
		amount := float64(w.Price.Minor)
		for range decimals(w.Price.Currency) {
			amount /= 10
		}
		return []any{k.ID, w.Name, w.List, amount, w.Price.Currency, w.From, w.Note}
	})
}

// tableOf gives the bytes of a table that was sent as a file.
func (v *visit) tableOf(f *form) ([]byte, error) {
	file, head, err := v.r.FormFile("file")
	if err != nil {
		f.ps.Wrong("file", "file-empty", nil)
		return nil, f.err()
	}
	defer func() { _ = file.Close() }() // only read
	if head.Size > tables.MaxBytes {
		f.ps.Wrong("file", "file-too-big", map[string]any{"kilobytes": int(head.Size / 1024), "most": tables.MaxBytes / 1024})
		return nil, f.err()
	}
	body, err := io.ReadAll(file)
	if err == nil && len(body) == 0 {
		f.ps.Wrong("file", "file-empty", nil)
		err = f.err()
	}
	return body, err
}
